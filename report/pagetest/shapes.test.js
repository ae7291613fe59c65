'use strict';

const { test } = require('node:test');
const assert = require('node:assert/strict');
const { open, example } = require('./page.js');

const page = open(example());

test('what may be left out of a course lies as near to what is drawn as its tolerance says', () => {
  const n = 400, lon = Array.from({ length: n }, (_, i) => 5 + 0.01 * i), lat = lon.map((x, i) => 0.02 * Math.sin(i / 9) + 0.001 * ((i * 7919) % 13));
  const tolerance = page.plain(`Array.from(tolerances(${JSON.stringify(lon)}, ${JSON.stringify(lat)}), (t) => Math.min(t, 1e9))`);
  assert.equal(tolerance[0], 1e9);
  assert.equal(tolerance[n - 1], 1e9);
  let before = n + 1;
  for (const most of [0.0005, 0.002, 0.01, 0.05]) {
    const kept = tolerance.map((t, i) => (t >= most ? i : -1)).filter((i) => i >= 0);
    assert.ok(kept.length < before, `${kept.length} points at ${most}`);
    before = kept.length;
    for (let i = 0; i < n; i++) {
      const k = kept.findIndex((at) => at >= i), a = kept[Math.max(0, k - 1)], b = kept[k];
      const dx = lon[b] - lon[a] || 1, y = lat[a] + ((lon[i] - lon[a]) / dx) * (lat[b] - lat[a]);
      const away = a === b ? 0 : Math.abs(lat[i] - y) * Math.cos(Math.atan2(lat[b] - lat[a], dx));
      assert.ok(away <= most * 1.01, `point ${i} is ${away} off at ${most}`);
    }
  }
});

test('the main box leaves a few far structures outside, and none where all are near', () => {
  const box = (lon, lat) => page.plain(`mainBox(${JSON.stringify(lon)}, ${JSON.stringify(lat)})`);
  const lon = Array.from({ length: 300 }, (_, i) => 10 + 0.001 * i), lat = lon.map((x) => x + 30);
  assert.deepEqual(box(lon, lat), [10, 40, 10.299, 40.299]);
  lon[7] = -60; lat[7] = 0; lon[8] = 110; lat[8] = 89;
  const [west, south, east, north] = box(lon, lat);
  assert.ok(west > 9.9 && south > 39.9 && east < 10.4 && north < 40.4);
  assert.ok(west < 10.01 && east > 10.29);
  assert.deepEqual(page.plain('mainBox([NaN], [NaN])'), [0, 0, 0, 0]);
});

test('the central share of numbers', () => {
  assert.deepEqual(page.plain('central(Array.from({ length: 101 }, (_, i) => 100 - i))'), [1, 99]);
  assert.deepEqual(page.plain('central([4])'), [4, 4]);
});

test('holes run the other way than what they lie in, however they were written', () => {
  const square = (x0, y0, x1, y1) => [x0, y0, x1, y0, x1, y1, x0, y1], against = (flat) => [flat[0], flat[1], flat[6], flat[7], flat[4], flat[5], flat[2], flat[3]];
  const outer = square(0, 0, 10, 10), hole = square(2, 2, 8, 8), island = square(4, 4, 6, 6), apart = square(20, 0, 30, 10);
  for (const rings of [[outer, hole, island, apart], [outer, against(hole), island, against(apart)], [against(outer), hole, against(island), apart]]) {
    const signs = page.plain(`wound(${JSON.stringify(rings)}.map((r) => Float64Array.from(r))).map((r) => Math.sign(signedArea(r)))`);
    assert.deepEqual(signs, [1, -1, 1, 1]);
  }
});

test('long columns are written in runs and read as they were', () => {
  assert.deepEqual(page.plain('unpacked(["3*1", 2, "2*null", -4])'), [1, 1, 1, 2, null, null, -4]);
  assert.deepEqual(page.plain('Array.from(sums(["3*1", null, 2], 0.5), (x) => (known(x) ? x : null))'), [0.5, 1, 1.5, null, 2.5]);
  assert.deepEqual(page.plain('unpacked(undefined)'), []);
});

test('a line that has a route of its own is drawn by it, though no structure of it is there', () => {
  const data = example();
  data.all = false;
  data.lines = { name: [1, 15], title: [12, 0], kv: [1320, null], count: [4, 0], of: [4, 1500], length: [900, 40000], assessed: [1, 1], closed: [0, 0], shortfalls: [1, 7], advisories: [1, 0], notes: [0, 2] };
  for (const column of Object.keys(data.structures)) data.structures[column] = data.structures[column].slice(0, 4);
  data.exceptions = Object.fromEntries(Object.entries(data.exceptions).map(([name, column]) => [name, column.slice(0, 3)]));
  data.routes = { count: [2, 3], lon: [1000000, 300, 100, 200, 200], lat: [5000000, -100, 0, 100, 100], ahead: [1, 0, 1, 1, 0] };
  const cut = open(data);
  cut.run('Object.assign(map, { lon: 10.005, lat: 50.002, scale: 30000, width: 800, height: 400 })');
  assert.equal(cut.run('routePath(lines[1])').match(/[ML]/g).join(''), 'ML', 'straight on, the point between is not seen');
  assert.equal(cut.run('lineNear(mapX(10.006), mapY(50.0)).name'), 'South');
  assert.match(cut.run("tipOfLine(lines[1]).map((p) => p.children.join('')).join('; ')"), /South; 1.500 structures; 7 shortfalls, 2 notes open; no single structure of it is on this page/);
  assert.equal(cut.run('lines[1].first === lines[1].end'), true);
  cut.run('setLine(1); drawStripNow(800, 300); stepStructure(1); drawFacts()');
  assert.match(cut.by('line-facts').textContent, /0 of 1.500 structures · 7 shortfalls, 2 notes/);
});
