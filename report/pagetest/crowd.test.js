'use strict';

const { test } = require('node:test');
const assert = require('node:assert/strict');
const { open, example } = require('./page.js');

const page = open(example());

// drawing is numbers between 0 and 1 that are the same in each run.
function drawing(seed) {
  let state = seed;
  return () => { state = (state * 1103515245 + 12345) % 2147483648; return state / 2147483648; };
}
const overlap = (a, b) => a[0] < b[2] && a[2] > b[0] && a[1] < b[3] && a[3] > b[1];

test('marks are gathered so that no box lies on another and none is lost', () => {
  for (const [count, across, up] of [[0, 1, 1], [1, 700, 400], [5, 30, 10], [60, 700, 400], [900, 700, 400], [4000, 700, 60], [3000, 20, 20]]) {
    const next = drawing(count + 1), points = Array.from({ length: count }, (_, s) => ({ x: across * next(), y: up * next(), kind: Math.floor(3 * next()), s }));
    const groups = page.plain(`gathered(${JSON.stringify(points)}, 4).map((g) => ({ box: boxOf(g), kinds: g.kinds, members: g.members.map((m) => m.s) }))`);
    assert.deepEqual(groups.flatMap((g) => g.members).sort((a, b) => a - b), points.map((p) => p.s), `${count} points`);
    for (const kind of [0, 1, 2]) assert.equal(groups.reduce((sum, g) => sum + g.kinds[kind], 0), points.filter((p) => p.kind === kind).length);
    groups.forEach((g, i) => groups.slice(i + 1).forEach((other) => assert.ok(!overlap(g.box, other.box), `${count} points: ${g.box} and ${other.box}`)));
    assert.ok(groups.length <= count && (count < 900 || groups.length < count / 5), `${groups.length} groups of ${count}`);
  }
});

test('no tag lies under the ring of what is chosen', () => {
  const free = [340, 190, 364, 214];
  let moved = 0;
  for (const [count, across, up] of [[8, 40, 40], [60, 200, 80], [900, 700, 400], [3000, 60, 20]]) {
    const next = drawing(count + 7), points = Array.from({ length: count }, (_, s) => ({ x: 352 + across * (next() - 0.5), y: 202 + up * (next() - 0.5), kind: Math.floor(3 * next()), s }));
    const told = (box) => page.plain(`gathered(${JSON.stringify(points)}, 4, ${JSON.stringify(box)}).map((g) => ({ box: boxOf(g), members: g.members.map((m) => m.s) }))`);
    const groups = told(free);
    assert.deepEqual(groups.flatMap((g) => g.members).sort((a, b) => a - b), points.map((p) => p.s), `${count} points`);
    groups.forEach((g, i) => groups.slice(i + 1).forEach((other) => assert.ok(!overlap(g.box, other.box), `${count} points: ${g.box} and ${other.box}`)));
    for (const g of groups) assert.ok(g.members.length === 1 || !overlap(g.box, free), `${count} points: ${g.box}`);
    moved += told(null).filter((g) => g.members.length > 1 && overlap(g.box, free)).length;
  }
  assert.ok(moved > 0, 'without that some would');
});

test('marks with room stay marks', () => {
  const points = [[10, 10], [70, 10], [50, 40]].map(([x, y], s) => ({ x, y, kind: 0, s }));
  assert.deepEqual(page.plain(`gathered(${JSON.stringify(points)}, 4).map((g) => g.members.length)`), [1, 1, 1]);
  points.push({ x: 12, y: 11, kind: 1, s: 3 });
  assert.deepEqual(page.plain(`gathered(${JSON.stringify(points)}, 4).map((g) => g.kinds)`), [[1, 1, 0, 0], [1, 0, 0, 0], [1, 0, 0, 0]]);
});

test('a box that is taken is free no more, and of several either all are taken or none', () => {
  page.run('globalThis.crowd = new Crowd(10)');
  const free = (...boxes) => page.run(`crowd.takeFree(...${JSON.stringify(boxes)})`);
  assert.equal(free([0, 0, 25, 10]), true);
  assert.equal(free([24, 5, 40, 8]), false);
  assert.equal(free([30, 0, 35, 5], [10, 2, 12, 4]), false);
  assert.equal(free([30, 0, 35, 5]), true, 'what was not taken with the other');
  assert.equal(free([25, 0, 30, 10]), true, 'boxes that touch do not lie on each other');
});

test('a label stands where its course is all but straight, and can be read', () => {
  const along = (points, width) => page.plain(`alongCourse(${JSON.stringify(points)}, ${width})`);
  assert.deepEqual(along([[0, 0], [40, 0]], 60), []);
  assert.deepEqual(along([[0, 0], [100, 0]], 60)[0], { x: 50, y: 0, angle: 0 });
  assert.equal(along([[100, 0], [0, 0]], 60)[0].angle, 0, 'from left to right whichever way the line runs');
  assert.equal(along([[0, 0], [0, -100]], 60)[0].angle, 90);
  const bent = along([[0, 0], [100, 0], [100, 100]], 60);
  assert.ok(bent.length > 0 && bent.every(({ x, y }) => y === 0 || x === 100), 'never over a corner');
  assert.deepEqual(along(Array.from({ length: 30 }, (_, i) => [10 * i, i % 2 ? 15 : 0]), 60), [], 'nowhere on a zigzag');
});

test('small boxes cover a label at an angle', () => {
  const boxes = page.plain('tiltedBoxes({ x: 0, y: 0, angle: 45 }, 60)');
  assert.equal(boxes.length, 5);
  assert.ok(boxes.every((b) => Math.abs((b[0] + b[2]) / 2 - (b[1] + b[3]) / 2) < 1e-9));
});

test('levels of exceptions per km are round and part the lines', () => {
  const levels = (densities) => page.plain(`densityLevels(${JSON.stringify(densities)})`);
  assert.deepEqual(levels([0, 0]), []);
  assert.deepEqual(levels([0, 0.04, 0.12, 0.11, 0.9, 2.1]), [0.1, 1]);
  assert.deepEqual(levels([3]), [2]);
  assert.deepEqual([0, 0.05, 0.1, 0.5, 1, 7].map((d) => page.run(`densityLevel(${d}, [0.1, 1])`)), [0, 1, 2, 2, 3, 3]);
});
