'use strict';

const { test } = require('node:test');
const assert = require('node:assert/strict');
const { open, example } = require('./page.js');

const near = (have, want, within = 1e-9) => {
  assert.equal(have.length, want.length);
  want.forEach((w, i) => assert.ok(Number.isNaN(w) ? Number.isNaN(have[i]) : Math.abs(have[i] - w) <= within, `${i}: ${have[i]}, not ${w}`));
};

test('differences are summed, and what is not known stays so', () => {
  const page = open(example());
  const s = page.name('structures');
  near([...s.lon], [10, 10.001, 10.003, 10.0035, NaN, NaN]);
  near([...s.lat], [50, 49.999, 49.999, 49.99925, NaN, NaN]);
  near([...s.chainage], [0, 300, 600.5, 900, NaN, NaN]);
  near([...s.ground], [100, 100.5, 98.5, NaN, NaN, NaN]);
  near([...s.deviation], [NaN, 12.5, -0.3, NaN, NaN, NaN]);
  near([...s.limit], [2, 2, 2, 2, 2, 2]);
  near([...s.required], [2500, 2500, 2000, 2000, NaN, NaN]);
  near([...page.run('sums([5, null, 2, 3])')], [5, NaN, 7, 10]);
});

test('a figure that is not known is no zero, and a column that is missing is empty', () => {
  const page = open(example());
  near([...page.run('figures([0, null, 3], 0.5)')], [0, NaN, 1.5]);
  assert.equal(page.run('figures(undefined).length'), 0);
  assert.equal(page.run('known(0)'), true);
  assert.equal(page.run('known(NaN)'), false);
});

test('lines have their structures, box, voltage and exceptions', () => {
  const page = open(example());
  const [north, south] = page.name('lines');
  assert.deepEqual([north.name, north.title, north.first, north.end, north.kv, north.assessed], ['North line', 'Harbour', 0, 4, 132, true]);
  near([...north.box], [10, 49.999, 10.0035, 50]);
  assert.deepEqual([...north.counts], [2, 1, 0]);
  assert.deepEqual([south.first, south.end, south.assessed], [4, 6, false]);
  assert.ok(Number.isNaN(south.kv) && Number.isNaN(south.length));
  assert.deepEqual([...south.box], [Infinity, Infinity, -Infinity, -Infinity]);
  assert.deepEqual([...south.counts], [0, 0, 1]);
  assert.deepEqual([...page.name('lineOf')], [0, 0, 0, 0, 1, 1]);
  assert.deepEqual(page.plain('[...atStructure]'), [[1, [0, 1]], [2, [2]]]);
});

test('rings of zones are summed by coordinate, with their box', () => {
  const [harbour] = open(example()).name('zones');
  near([...harbour.rings[0]], [10, 50, 10.002, 50, 10.002, 50.001, 10, 50.001]);
  near([...harbour.box], [10, 50, 10.002, 50.001]);
});

test('words and numbers', () => {
  const page = open(example());
  for (const [expression, want] of [
    ['grouped(0)', '0'], ['grouped(999)', '999'], ['grouped(1000)', '1\u202f000'], ['grouped(1234567.4)', '1\u202f234\u202f567'], ['grouped(-2500)', '-2\u202f500'],
    ["counted(1, 'row', 'rows')", '1 row'], ["counted(0, 'row', 'rows')", '0 rows'], ["counted(2000, 'row', 'rows')", '2\u202f000 rows'],
    ['degrees(12.345)', '12.35° right'], ['degrees(-0.5)', '0.50° left'], ['degrees(0)', '0.00°'],
    ['round(1.25)', 1.3], ['round(-0.04)', -0],
    ['siteOf(0)', 'b'], ['siteOf(2)', 'c'], ['siteOf(4)', '31 mm/kV'], ['siteOf(5)', 'unknown'],
    ["shortened('abcdef', 6)", 'abcdef'], ["shortened('abcdefg', 6)", 'abcde…'], ["shortened('abcd\\u{1F600}fg', 6)", 'abcd…'],
  ]) assert.equal(page.run(expression), want, expression);
});
