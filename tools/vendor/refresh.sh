#!/bin/sh
# Builds the vendored bundles anew from the exact versions in package.json. Needs Node; nobody else does.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
out="$here/../../src/leadfoot/web/static/vendor"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp "$here"/package.json "$here"/package-lock.json "$here"/*.entry.js "$work"/
cd "$work"
npm ci --silent --no-audit --no-fund
mkdir -p "$out"
for name in charts traces space; do
  npx --no-install esbuild "$name.entry.js" --bundle --minify --format=esm --target=es2022 \
    --legal-comments=none --define:process.env.NODE_ENV='"production"' --outfile="$out/$name.mjs"
done
npx --no-install esbuild node_modules/uplot/dist/uPlot.min.css --minify --outfile="$out/traces.css"
cp node_modules/echarts/LICENSE "$out/charts.LICENSE.txt"
cp node_modules/echarts/NOTICE "$out/charts.NOTICE.txt"
cp node_modules/uplot/LICENSE "$out/traces.LICENSE.txt"
cp node_modules/three/LICENSE "$out/space.LICENSE.txt"
# zrender, inside the charts bundle, has a licence of its own (BSD-3-Clause); tslib is 0BSD.
cp node_modules/zrender/LICENSE "$out/charts.zrender.LICENSE.txt"
cd "$out" && rm -f SHA256SUMS && sha256sum -- *.mjs *.css *.txt >SHA256SUMS
