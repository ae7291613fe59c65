'use strict';

const { test } = require('node:test');
const assert = require('node:assert/strict');
const { open, example } = require('./page.js');

// long is a line of many structures with long numbers, which crosses much, lacks units here and there and turns often.
function long(count) {
  const data = example(), zero = new Array(count).fill(0), first = data.texts.length;
  for (let i = 0; i < count; i++) data.texts.push(`T-${1000 + i}`);
  data.lines = { name: [1], title: [12], kv: [1320], count: [count], of: [count], length: [300 * (count - 1)], assessed: [1], closed: [0], shortfalls: [2], advisories: [0], notes: [0] };
  data.exceptions = Object.fromEntries(Object.keys(data.exceptions).map((name) => [name, []]));
  data.zones = [];
  data.structures = {
    number: zero.map((_, i) => first + i), role: zero.map(() => 6), requires: zero.map((_, i) => (i % 7 ? 1 : 2)), hangs: zero.map((_, i) => (i % 7 ? 1 : 2)),
    class: zero.map((_, i) => 2 + (Math.floor(i / 5) % 2)), zone: zero.map(() => -1), why: zero, assembly: zero, crosses: zero.map((_, i) => (i % 4 ? 0 : 9)), ahead: zero.map((_, i) => (i + 1 < count ? 1 : 0)),
    lon: zero.map(() => 3000), lat: zero.map(() => 0), chainage: zero.map((_, i) => (i ? 3000 : 0)), ground: zero.map((_, i) => 43460 - 86910 * (i % 2)),
    deviation: zero.map((_, i) => (i % 3 ? 0 : 1250)), limit: zero.map((_, i) => (i ? 0 : 200)), required: zero.map(() => 2500), installed: zero.map((_, i) => (i % 5 ? 2600 : 2375)), missing: zero.map((_, i) => (i % 5 ? 0 : 1)),
    work: zero, fit: zero, remove: zero, weighing: zero,
  };
  return open(data);
}
const overlap = (a, b) => a[0] < b[2] && a[2] > b[0] && a[1] < b[3] && a[3] > b[1];

test('words on the strip never lie on each other, however narrow it is', () => {
  for (const count of [3, 40, 400]) {
    const page = long(count);
    for (const width of [280, 390, 700, 1400]) {
      page.run(`drawStripNow(${width}, 400)`);
      const words = page.plain('strip.lanes.words.children.filter((w) => w.tagName === "text").map((w) => ({ box: wordBox(w), words: w.textContent }))');
      assert.ok(words.length > 15, `${words.length} words`);
      words.forEach((a, i) => words.slice(i + 1).forEach((b) => assert.ok(!overlap(a.box, b.box), `${count} structures, ${width} pixels: ${a.words} on ${b.words}`)));
      for (const title of ['exceptions', 'zone class', 'deviation', 'creepage', 'units missing', 'crossings', 'sections', 'ground', 'structure', '100\u2009%', 'limit 2°']) {
        assert.ok(words.some((w) => w.words === title), `${title} at ${width} pixels`);
      }
    }
  }
});

test('why nothing was assessed ends within the strip, cut with an ellipsis where it is narrow', () => {
  const page = long(40), why = 'neutral not earthed or single-phase, and no creepage voltage stated';
  page.run(`source.texts.push(${JSON.stringify(why)}); structures.why.fill(source.texts.length - 1); structures.installed.fill(NaN)`);
  for (const width of [390, 500, 1036]) {
    page.run(`drawStripNow(${width}, 400)`);
    const [word] = page.plain('strip.lanes.words.children.filter((w) => w.textContent.startsWith("not assessed")).map((w) => ({ box: wordBox(w), words: w.textContent }))');
    assert.ok(word.box[2] <= width - 14, `${word.words} at ${width} pixels`);
    assert.ok(word.words === `not assessed: ${why}` || (width < 700 && word.words.endsWith('…')), word.words);
  }
  assert.ok(page.run('text(structures.why[0])') === why, 'the facts have all of it');
});

test('lanes with nothing to show are left out', () => {
  const page = long(4);
  assert.equal(page.run('laneList.length - lanesOf(lines[0]).length'), 0);
  page.run('structures.missing.fill(0); structures.crosses.fill(0)');
  assert.deepEqual(page.plain('lanesOf(lines[0]).map(([name]) => name)'), ['marks', 'site', 'turn', 'creep', 'section', 'ground', 'number']);
});

test('the axis of has over needs lies about 100, and a lack of 5 % is at least three pixels of it', () => {
  const tall = 92 - 12;
  for (const [least, low] of [[130, 90], [97, 90], [91, 90], [90.5, 80], [70, 60], [45, 40], [12, 0], [0, 0]]) {
    const [from, to] = page80.plain(`shareAxis(${least})`);
    assert.equal(from, low, `for ${least}`);
    assert.ok(to > 100 && (5 / (to - from)) * tall >= 3, `${from} to ${to}`);
  }
});
const page80 = long(3);

test('of structures in one column of pixels the worst is drawn', () => {
  const page = long(400);
  page.run('Object.assign(strip, { width: 140 })');
  assert.ok(page.plain('[...columnsOf(range(0, 399), shareOf, (a, b) => a < b).values()]').every((share) => share === 95));
  assert.ok(page.run('columnsOf(range(0, 399), shareOf, (a, b) => a < b).size') < 60);
});

test('the strip is stretched about the pointer and by two fingers', () => {
  const page = long(40);
  page.run('Object.assign(strip, { width: 800 }); wholeStrip()');
  const x = page.run('stripX(3000)');
  page.run('stretchStrip(2, 3000)');
  assert.ok(Math.abs(page.run('stripX(3000)') - x) < 1e-6);
  assert.deepEqual(page.plain('pinched([0, 0], [10, 0], [0, 0], [20, 0])'), { factor: 2, from: [5, 0], to: [10, 0] });
});
