// The flights in the round: a turf with distance rings, seen from behind the ball, to be turned.
import { colours, onLook } from "./colours.js";
import { niceStep } from "./steps.js";

let space = null, scene = null;

// Draws into `place`; false where the browser has no WebGL. Another ball is drawn as the view stands.
export async function drawRound(place, data) {
  space ??= await import("../vendor/space.mjs");
  if (scene?.isIn(place)) {
    scene.show(data);
    return true;
  }
  forgetRound();
  place.replaceChildren();
  let renderer;
  try {
    renderer = new space.WebGLRenderer({ antialias: true, alpha: true });
  } catch {
    return false;
  }
  scene = new Round(place, data, renderer);
  return true;
}

export function forgetRound() {
  scene?.forget();
  scene = null;
}

onLook(() => { if (scene) { scene.paint(); scene.render(); } });

class Round {
  constructor(place, data, renderer) {
    this.place = place;
    this.renderer = renderer;
    this.reach(data);
    // Where the eye stands: behind the ball, to the right of the target line, and above.
    this.turn = 0.62;
    this.tilt = 0.34;
    this.away = this.far * 0.98;
    this.camera = new space.PerspectiveCamera(34, 1, 1, 5000);
    this.marks = [];
    const canvas = renderer.domElement;
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "img");
    this.canvas = canvas;
    this.name();
    canvas.className = "orbit";
    place.append(canvas);
    this.listen(canvas);
    this.watch = new ResizeObserver(() => this.fit());
    this.watch.observe(place);
    this.paint();
    this.fit();
  }

  isIn(place) {
    return this.place === place && place.contains(this.canvas);
  }

  show(data) {
    const before = this.far;
    this.reach(data);
    this.away *= this.far / before;
    this.name();
    this.paint();
    this.render();
  }

  reach(data) {
    this.data = data;
    this.far = data.reach?.far ?? Math.max(...data.flights.flatMap((flight) => flight.x), 50);
  }

  name() {
    const n = this.data.flights.length;
    this.canvas.setAttribute("aria-label", `${n} ${n === 1 ? "flight" : "flights"} in the round. Arrow keys turn the view, plus and minus bring it nearer or farther.`);
  }

  forget() {
    this.watch.disconnect();
    this.renderer.dispose();
    this.renderer.forceContextLoss();
  }

  paint() {
    const c = colours();
    this.world?.traverse((node) => { node.geometry?.dispose(); node.material?.dispose(); });
    this.world = new space.Group();
    for (const mark of this.marks) mark.node.remove();
    this.marks = [];
    this.ground(c);
    for (const flight of this.data.flights.filter((one) => !one.leftOut)) this.flight(flight, c);
    this.scene = new space.Scene();
    this.scene.add(this.world);
  }

  line(points, material) {
    const geometry = new space.BufferGeometry().setFromPoints(points.map(([x, y, z]) => new space.Vector3(x, y, z)));
    const line = new space.Line(geometry, material);
    if (material.isLineDashedMaterial) line.computeLineDistances();
    this.world.add(line);
  }

  ground(c) {
    const faint = new space.LineBasicMaterial({ color: c.edge, transparent: true, opacity: 0.55 });
    const target = new space.LineBasicMaterial({ color: c.turf });
    const step = niceStep(this.far, 4), reach = 0.42;
    for (let at = step; at <= this.far * 1.12; at += step) {
      const arc = Array.from({ length: 33 }, (_, k) => {
        const a = -reach + (2 * reach * k) / 32;
        return [at * Math.cos(a), 0, at * Math.sin(a)];
      });
      this.line(arc, faint);
      this.mark(`${at} ${this.data.unit}`, [at * Math.cos(reach), 0, at * Math.sin(reach)]);
    }
    const end = this.far * 1.12;
    for (const a of [-reach, reach]) this.line([[0, 0, 0], [end * Math.cos(a), 0, end * Math.sin(a)]], faint);
    this.line([[0, 0, 0], [end, 0, 0]], target);
    // Beyond the last ring, between the target and the edges, where no ring has its distance.
    const out = end * 1.05, aside = 0.55 * reach;
    this.mark("left", [out * Math.cos(aside), 0, -out * Math.sin(aside)]);
    this.mark("right", [out * Math.cos(aside), 0, out * Math.sin(aside)]);
    this.mark("target", [out, 0, 0]);
  }

  flight(flight, c) {
    const points = flight.x.map((x, k) => [x, flight.y[k], flight.z[k]]);
    const [x, , z] = points.at(-1);
    const thick = this.far * 0.0012;
    if (flight.role === "with_change") {
      const curve = new space.CatmullRomCurve3(points.map((point) => new space.Vector3(...point)));
      this.world.add(new space.Mesh(new space.TubeGeometry(curve, 48, thick, 6), new space.MeshBasicMaterial({ color: c.after })));
      this.spot(new space.CircleGeometry(thick * 7, 24), c.after, x, z);
    } else {
      const colour = flight.role === "before" ? c.before : c.edge;
      this.line(points, new space.LineDashedMaterial({ color: colour, dashSize: this.far * 0.018, gapSize: this.far * 0.011 }));
      this.spot(new space.RingGeometry(thick * 5, thick * 7.5, 24), colour, x, z);
    }
  }

  spot(geometry, colour, x, z) {
    const mesh = new space.Mesh(geometry, new space.MeshBasicMaterial({ color: colour }));
    mesh.rotation.x = -Math.PI / 2;
    mesh.position.set(x, 0.05, z);
    this.world.add(mesh);
  }

  mark(text, [x, y, z]) {
    const node = document.createElement("span");
    node.className = "orbit-mark";
    node.textContent = text;
    node.setAttribute("aria-hidden", "true");
    this.place.append(node);
    this.marks.push({ node, at: new space.Vector3(x, y, z) });
  }

  listen(canvas) {
    let from = null;
    canvas.addEventListener("pointerdown", (event) => { from = [event.clientX, event.clientY]; canvas.setPointerCapture(event.pointerId); });
    canvas.addEventListener("pointerup", () => { from = null; });
    canvas.addEventListener("pointermove", (event) => {
      if (!from) return;
      this.swing((event.clientX - from[0]) * 0.006, (event.clientY - from[1]) * 0.004);
      from = [event.clientX, event.clientY];
    });
    const keys = { ArrowLeft: [-0.08, 0], ArrowRight: [0.08, 0], ArrowUp: [0, 0.06], ArrowDown: [0, -0.06] };
    canvas.addEventListener("keydown", (event) => {
      if (keys[event.key]) this.swing(...keys[event.key]);
      else if (event.key === "+" || event.key === "=") this.nearer(0.88);
      else if (event.key === "-") this.nearer(1.14);
      else return;
      event.preventDefault();
    });
    canvas.addEventListener("wheel", (event) => {
      if (!event.ctrlKey && document.activeElement !== canvas) return; // the page scrolls on
      event.preventDefault();
      this.nearer(event.deltaY > 0 ? 1.1 : 0.91);
    }, { passive: false });
  }

  swing(turn, tilt) {
    this.turn += turn;
    this.tilt = Math.min(Math.max(this.tilt + tilt, 0.03), 1.5);
    this.render();
  }

  nearer(factor) {
    this.away = Math.min(Math.max(this.away * factor, this.far * 0.3), this.far * 3);
    this.render();
  }

  fit() {
    const { width, height } = this.place.getBoundingClientRect();
    if (!width || !height) return;
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.renderer.setSize(width, height);
    this.camera.aspect = width / height;
    this.camera.updateProjectionMatrix();
    this.render();
  }

  render() {
    const middle = this.far * 0.52, flat = this.away * Math.cos(this.tilt);
    this.camera.position.set(middle - flat * Math.cos(this.turn), this.away * Math.sin(this.tilt), flat * Math.sin(this.turn));
    this.camera.lookAt(middle, this.far * 0.04, 0);
    this.renderer.render(this.scene, this.camera);
    const { width, height } = this.place.getBoundingClientRect();
    for (const { node, at } of this.marks) {
      const seen = at.clone().project(this.camera);
      node.hidden = seen.z > 1;
      node.style.left = `${((seen.x + 1) / 2) * width}px`;
      node.style.top = `${((1 - seen.y) / 2) * height}px`;
    }
  }
}
