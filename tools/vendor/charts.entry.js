// Our cut of ECharts: scatter and lines on a plain grid, drawn as SVG (crisp, and testable in the DOM).
export { init, use } from "echarts/core";
import { use } from "echarts/core";
import { CustomChart, LineChart, ScatterChart } from "echarts/charts";
import { AriaComponent, GridComponent, MarkLineComponent, TooltipComponent } from "echarts/components";
import { SVGRenderer } from "echarts/renderers";
use([CustomChart, LineChart, ScatterChart, AriaComponent, GridComponent, MarkLineComponent, TooltipComponent, SVGRenderer]);
