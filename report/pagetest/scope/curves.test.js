'use strict';

const { test } = require('node:test');
const assert = require('node:assert/strict');
const { open, example } = require('../page.js');

const curve = { scenario: 0, line: 1, duty: 6, check: 9, quantity: 7, unit: 8, low: 145, high: 145, from: 0, to: null, counted: 10, already: 1, until: [null, 158.4, 158.4, 200], values: [158.4, 170, 200], falls: [2, 1, 3], marks: [3, 4], at: [170, 245], lacks: 0 };
const page = open({ ...example(), scenarios: [], curves: [curve, { ...curve, line: 15, counted: 0, already: 0, values: [], falls: [], until: [null, null, null, null] },
  { ...curve, line: 12, low: null, high: null, counted: 0, already: 0, values: [], falls: [], until: [null, null, null, null], marks: [], at: [], lacks: 16 }] });

test('a curve is read as its steps say: at a value its assemblies meet, above it no more', () => {
  for (const [value, share] of [[0, 0.9], [158.4, 0.9], [158.41, 0.7], [170, 0.7], [199, 0.6], [201, 0.3], [1000, 0.3]]) assert.equal(page.run(`shareAt(curves[0], ${value})`), share, `at ${value}`);
});

test('a share is never said to be more than it is', () => {
  assert.deepEqual([0, 1, 0.9999, 0.5, 1 / 3].map((x) => page.run(`percent(${x})`)), ['0\u2009%', '100\u2009%', '99.9\u2009%', '50\u2009%', '33.3\u2009%']);
});

test('what is drawn reaches from today and the first that falls short to the last', () => {
  const [from, to] = page.plain('curveDomain([curves[0]])');
  assert.ok(from < 145 && from > 130 && to > 200 && to < 210, `${from} to ${to}`);
  assert.deepEqual(page.plain('curveDomain([{ low: null, high: null, from: null, until: [null], values: [] }])'), [0, 1]);
});

test('the chart names the curve, and what counts nothing is not assessed', () => {
  assert.equal(page.by('curve-at').textContent, `At 145 ${page.run('curves[0].unit')} of ${page.run('curves[0].quantity')}`);
  assert.match(page.by('curve-box').attributes['aria-valuetext'], /: .* 90\u2009%$/);
  page.run("byId('curve-line').value = JSON.stringify([curves[1].scenario, curves[1].line]); quantitiesOf(); byId('curve-quantity').value = curves[1].quantity; showCurves()");
  assert.match(page.by('curve-box').attributes['aria-valuetext'], /not assessed$/);
  assert.equal(page.by('curve-box').attributes['aria-valuenow'], undefined);
  assert.equal(page.run('curvePath(curves[1])'), '');
});

test('where nothing could be assessed there is no axis and no figure, but what is missing', () => {
  page.run("byId('curve-line').value = JSON.stringify([curves[2].scenario, curves[2].line]); quantitiesOf(); byId('curve-quantity').value = curves[2].quantity; showCurves(); readAt(5)");
  assert.equal(page.by('curve-at').textContent, `As ${page.run('curves[2].quantity')} rises nothing can be read`);
  assert.deepEqual(page.plain('chart.cells.map((cell) => cell.textContent)'), [`not assessed: ${page.run('curves[2].lacks')}`]);
  assert.equal(page.by('curve-svg').textContent, 'No curve: nothing could be assessed.');
  assert.equal(page.by('curve-box').attributes['aria-disabled'], 'true');
});

test('labels that have no room are left out, the first stay', () => {
  const left = page.plain("crowdedOut([{ x: 300, name: 'c' }, { x: 10, name: 'long name' }, { x: 40, name: 'b' }])").map(({ name }) => name);
  assert.deepEqual(left, ['long name', 'c']);
});
