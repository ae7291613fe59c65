'use strict';

const { test } = require('node:test');
const assert = require('node:assert/strict');
const { open, example } = require('./page.js');

const overlap = (a, b) => a[0] < b[2] && a[2] > b[0] && a[1] < b[3] && a[3] > b[1];
const page = open(example());

// named are the names that find room beside boxes already taken.
const named = (points, taken = [], most = 60) => {
  page.run('globalThis.room = new Crowd()');
  page.run(`${JSON.stringify(taken)}.forEach((box) => room.take(box))`);
  return page.plain(`placeNames(${JSON.stringify(points)}, (boxes) => room.takeFree(...boxes), ${most})`);
};

test('names of places lie on nothing, and the most important come first', () => {
  const points = Array.from({ length: 400 }, (_, i) => ({ x: (i * 137) % 700, y: (i * 71) % 380, name: `Place ${i}` }));
  const taken = [[100, 100, 300, 140], [400, 0, 420, 380]];
  const found = named(points, taken);
  assert.ok(found.length > 15 && found.length <= 60, `${found.length} names`);
  found.forEach((one, i) => {
    for (const box of taken) assert.ok(!overlap(one.box, box), one.name);
    found.slice(i + 1).forEach((other) => assert.ok(!overlap(one.box, other.box), `${one.name} and ${other.name}`));
  });
  assert.equal(found[0].name, 'Place 0');
  assert.deepEqual(named([{ x: 50, y: 50, name: 'First' }, { x: 51, y: 51, name: 'Second' }]).map((one) => one.name), ['First'], 'their dots would lie on each other');
  assert.equal(named(points, [], 3).length, 3);
});

test('a name goes to another side of its dot where one is taken, and is left out where all are', () => {
  const [right] = named([{ x: 100, y: 100, name: 'Ostrade' }]);
  assert.ok(right.box[0] > 100);
  const [left] = named([{ x: 100, y: 100, name: 'Ostrade' }], [[105, 90, 110, 110]]);
  assert.ok(left.box[2] < 100);
  assert.deepEqual(named([{ x: 100, y: 100, name: 'Ostrade' }], [[0, 0, 200, 200]]), []);
});

test('a name takes its room in any script', () => {
  const width = (name) => page.plain(`placeWidth(${JSON.stringify(name)})`);
  assert.ok(width('漢字漢字') > width('abcd') && width('قرية') > width('abcd'));
  assert.equal(width('e\u0301'), width('e'), 'an accent takes none');
});

test('names are written as text whatever they hold, below routes and marks, and can be switched off', () => {
  const data = example(), names = ['<img src=x onerror=alert(1)>', 'قرية', '\u202Eevil'];
  data.texts.push(...names);
  const at = data.texts.length - names.length;
  data.places = { name: [at, at + 1, at + 2], lon: [10000000, 30000, 30000], lat: [50000000, 10000, 10000] };
  const full = open(data);
  full.run('map.width = 800; map.height = 400; showBox([9.99, 49.99, 10.07, 50.03]); drawMapNow()');
  const layer = full.run('map.layers.places');
  const texts = layer.children.filter((child) => child.name === 'text');
  assert.ok(texts.length > 0 && texts.every((one) => names.includes(one.textContent)), texts.map((one) => one.textContent).join());
  const order = full.run('map.svg').children;
  assert.ok(order.indexOf(layer) < order.indexOf(full.run('map.layers.routes')));
  assert.equal(full.by('place-switch').hidden, false);
  full.by('place-switch').listeners.click();
  assert.equal(layer.children.length, 0);
  assert.equal(full.by('place-switch').attributes['aria-pressed'], 'false');
  assert.equal(page.by('place-switch').hidden, true, 'without places there is nothing to switch');
});
