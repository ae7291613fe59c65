'use strict';

const { test } = require('node:test');
const assert = require('node:assert/strict');
const { open, example } = require('./page.js');

const page = open(example());
const area = (ring) => Math.abs(ring.reduce((sum, [x, y], i) => sum + x * ring[(i + 1) % ring.length][1] - ring[(i + 1) % ring.length][0] * y, 0)) / 2;

test('a ring is cut to a box', () => {
  const clip = (ring, box) => page.plain(`clipRing(${JSON.stringify(ring)}, ${JSON.stringify(box)})`);
  const square = [[0, 0], [10, 0], [10, 10], [0, 10]];
  assert.deepEqual(clip(square, [-1, -1, 11, 11]), square);
  assert.equal(area(clip(square, [5, -5, 20, 4])), 20);
  assert.equal(area(clip(square, [2, 3, 6, 5])), 8);
  assert.deepEqual(clip(square, [20, 20, 30, 30]), []);
  assert.equal(area(clip([[0, 0], [10, 0], [0, 10]], [0, 0, 5, 5])), 25);
  assert.equal(area(clip([[0, 0], [10, 0], [0, 10]], [5, 0, 10, 10])), 12.5);
});

test('a ring of fewer than three points draws nothing', () => {
  assert.equal(page.run('ringPath([[0, 0], [1, 1]])'), '');
  assert.equal(page.run('ringPath([[0, 0], [1.26, 1], [2, 0]])'), 'M0 0L1.3 1L2 0z');
});

test('a level runs inside rings from edge to edge, holes left out', () => {
  const inside = (y) => page.plain(`insideAt([[[0, 0], [10, 0], [10, 10], [0, 10]], [[4, 4], [6, 4], [6, 6], [4, 6]]], ${y})`);
  assert.deepEqual(inside(2), [0, 10]);
  assert.deepEqual(inside(5), [0, 4, 6, 10]);
  assert.deepEqual(inside(11), []);
});

test('a label stands in the widest stretch that no worse zone covers', () => {
  const widest = (others) => page.plain(`widestPlace([[[0, 0], [100, 0], [100, 20], [0, 20]]], ${JSON.stringify(others)})`);
  assert.deepEqual(widest([]), { width: 100, x: 50, y: 10, height: 20 });
  assert.deepEqual(widest([[[[0, -5], [60, -5], [60, 25], [0, 25]]]]), { width: 40, x: 80, y: 10, height: 20 });
  assert.equal(widest([[[[-1, -5], [101, -5], [101, 25], [-1, 25]]]]).width, 0);
});

test('levels of an axis are round, within it, and about as many as wanted', () => {
  for (const [from, to, wanted, levels] of [
    [0, 2500, 3, [0, 1000, 2000]], [0, 100, 5, [0, 20, 40, 60, 80, 100]], [0.35, 1.2, 4, [0.5, 1]], [1200, 1800, 3, [1200, 1400, 1600, 1800]], [0, 0, 3, [0]],
  ]) assert.deepEqual(page.plain(`niceLevels(${from}, ${to}, ${wanted})`), levels);
});

test('angles of the frame', () => {
  const angle = (x, step, letters) => page.run(`angleText(${x}, ${step}, '${letters}')`);
  assert.equal(angle(10, 1, 'EW'), '10°\u2009E');
  assert.equal(angle(-33.5, 0.5, 'NS'), '33°30′\u2009S');
  assert.equal(angle(9.99999999, 0.5, 'EW'), '10°00′\u2009E');
  assert.equal(angle(-70.504166667, 15 / 3600, 'EW'), '70°30′15″\u2009W');
  assert.equal(angle(181, 1, 'EW'), '179°\u2009W');
  assert.equal(angle(-190, 1, 'EW'), '170°\u2009E');
});

test('the map takes a place to the sheet and back', () => {
  page.run('Object.assign(map, { lon: 10, lat: 60, scale: 2000, width: 800, height: 400 })');
  assert.equal(page.run('mapX(10)'), 400);
  assert.equal(page.run('mapY(60)'), 200);
  assert.ok(Math.abs(page.run('mapX(10.1)') - 500) < 1e-6, 'a degree of longitude is half as wide at 60°');
  assert.ok(Math.abs(page.run('mapY(60.1)')) < 1e-6, 'north is up');
  assert.ok(Math.abs(page.run('lonAt(mapX(10.123))') - 10.123) < 1e-9);
  assert.ok(Math.abs(page.run('latAt(mapY(59.9))') - 59.9) < 1e-9);
});

test('zooming keeps the place under the pointer', () => {
  page.run('Object.assign(map, { lon: 10, lat: 50, scale: 2000, width: 800, height: 400 })');
  const before = page.plain('[lonAt(100), latAt(350)]');
  page.run('zoomAt(3, 100, 350)');
  const after = page.plain('[lonAt(100), latAt(350)]');
  assert.ok(Math.abs(page.run('map.scale') - 6000) < 1e-9);
  before.forEach((x, i) => assert.ok(Math.abs(x - after[i]) < 1e-9));
});

test('the box of lines leaves out what has no positions', () => {
  assert.deepEqual(page.plain('wholeBox().map((x) => Number(x.toFixed(6)))'), [10, 49.999, 10.0035, 50]);
  assert.deepEqual(page.plain('wholeBox([lines[1]])'), [0, 0, 0, 0]);
});

test('a route is drawn from structure to structure, and broken where the line is', () => {
  page.run('Object.assign(map, { lon: 10.002, lat: 49.9995, scale: 100000, width: 800, height: 400 })');
  const points = (d) => d.match(/[ML]/g).join('');
  assert.equal(points(page.run('routePath(lines[0])')), 'MLLL');
  page.run('structures.ahead[1] = 0; lines[0].course = null');
  assert.equal(points(page.run('routePath(lines[0])')), 'MLML');
  page.run('structures.ahead[1] = 1; lines[0].course = null');
  assert.equal(page.run('routePath(lines[1])'), '');
});

test('the strip takes a chainage to the sheet and back, and stays on the line', () => {
  page.run('setLine(0); Object.assign(strip, { width: 1000 }); wholeStrip()');
  assert.ok(page.run('stripX(0)') > page.name('gutter'));
  assert.ok(page.run('stripX(900)') < 1000 - page.name('rightEdge'));
  assert.ok(Math.abs(page.run('chainageAt(stripX(432.1))') - 432.1) < 1e-9);
  assert.equal(page.run('structureAtChainage(460)'), 2);
  assert.equal(page.run('structureAtChainage(-50)'), 0);
  page.run('stretchStrip(2)');
  assert.ok(Math.abs(page.run('strip.to - strip.from') - (900 * 1.012) / 2) < 1e-9);
  page.run('strip.from -= 1000; strip.to -= 1000; keepStrip()');
  assert.equal(page.run('strip.from'), page.run('strip.least'));
});
