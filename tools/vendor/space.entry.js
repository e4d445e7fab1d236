// Our cut of three.js: lines, points and a ground to stand on.
export {
  BufferGeometry, CircleGeometry, Color, Float32BufferAttribute, Group, Line, LineBasicMaterial,
  LineDashedMaterial, LineSegments, Mesh, MeshBasicMaterial, PerspectiveCamera, Plane, PlaneGeometry, Points,
  PointsMaterial, RingGeometry, Scene, SphereGeometry, TubeGeometry, CatmullRomCurve3, Vector3, WebGLRenderer,
} from "three";
