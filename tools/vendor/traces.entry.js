// uPlot as it is.
export { default } from "uplot";
