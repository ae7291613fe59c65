'use strict';

const { test } = require('node:test');
const assert = require('node:assert/strict');
const { open, example } = require('./page.js');

const words = (node) => (typeof node === 'string' ? node : node.textContent);
const shown = (page) => page.plain('state.shown');
const type = (page, typed) => { page.by('words').value = typed; page.run('filterTable()'); };

// withJob is the example with work at the structure of the first two findings, which is for the first.
const withJob = () => {
  const data = example();
  data.texts.push('hang 9 × U120B – 1 in the order of doing', 'circuit 1\nphase A,B,C\nback');
  const count = data.structures.number.length;
  data.structures.work = Array(count).fill(0);
  data.structures.work[1] = data.texts.length - 2;
  data.exceptions.job = [1, 0, 0, 0];
  data.exceptions.detail[0] = data.texts.length - 1;
  return data;
};

test('what mends a finding is the work that is for it, else what its check advises, and words find it', () => {
  const page = open(withJob());
  assert.deepEqual(page.plain('[0, 1, 2].map(remedyOf)'), ['hang 9 × U120B – 1 in the order of doing', 'Hang tension.', 'Add units.']);
  type(page, 'u120b hang');
  assert.deepEqual(shown(page), [0, 1], 'in the work of one, and what hangs at the other');
  type(page, 'order');
  assert.deepEqual(shown(page), [0]);
});

test('circuit, phases and sides are tags', () => {
  const page = open(withJob());
  assert.deepEqual(page.plain('tagsOf(0)'), ['circuit 1', 'phase A,B,C', 'back']);
  assert.deepEqual(page.plain('tagsOf(1)'), []);
  const place = page.by('rows').children[0].children[2];
  assert.deepEqual(place.children.filter((child) => child.attributes?.class === 'tag').map(words), ['circuit 1', 'phase A,B,C', 'back']);
});

test('findings are left by each thing that is asked for, and by all of them', () => {
  const page = open(example());
  for (const [ask, left] of [
    ['{}', [0, 1, 2, 3]], ["{ words: ['creepage'] }", [0, 2]], ['{ check: 1 }', [1, 3]], ['{ line: 1 }', [3]], ['{ change: 2 }', [2]], ['{ severity: [false, true, true] }', [2, 3]],
    ['{ texts: [{ values: exceptions.sentence, value: 16 }] }', [0, 2]], ["{ words: ['north', 'tension'], check: 1, line: 0 }", [1]], ["{ words: ['creepage'], line: 1 }", []],
  ]) assert.deepEqual(page.plain(`findingsLeft(${ask})`), left, ask);
});

test('structures without findings are found by line and number, none of those with', () => {
  const page = open(example());
  for (const [typed, list, count] of [[[], [], 0], [['north'], [0, 3], 2], [['102'], [], 0], [['10'], [0, 3], 2], [['north', '104'], [3], 1], [['south', 'a', '2'], [5], 1], [['harbour', '101'], [0], 1], [['nowhere'], [], 0]]) {
    assert.deepEqual(page.plain(`structuresWithout(${JSON.stringify(typed)}, 9)`), { list, count }, typed.join(' '));
  }
  assert.deepEqual(page.plain("structuresWithout(['a'], 1, 1)"), { list: [4], count: 2 }, 'the first so many, of one line');
});

test('accents and strokes are none of what is looked for, on neither side', () => {
  const data = example();
  data.texts.push('Nowa Wieś, Łódź – Øvre Đakovo');
  data.exceptions.sentence[1] = data.texts.length - 1;
  data.texts[15] = 'Süd';
  const page = open(data);
  for (const typed of ['wieś', 'wies', 'WIEŚ', 'wies\u0301', 'łódź', 'lodz', 'ovre', 'øvre dakovo', '"łódź – ovre"']) {
    type(page, typed);
    assert.deepEqual(shown(page), [1], typed);
  }
  type(page, 'sud');
  assert.deepEqual(shown(page), [3]);
  for (const typed of ['süd', 'sud', 'sud "a 2"']) assert.deepEqual(page.plain(`structuresWithout(wordsOf('${typed}'), 9)`).list.includes(5), true, typed);
});

test('what stands in quotes is looked for as it stands', () => {
  const data = withJob();
  data.texts.push('phase 2\ncircuit 12');
  data.exceptions.detail[1] = data.texts.length - 1;
  data.texts.push('circuit 2');
  data.exceptions.detail[2] = data.texts.length - 1;
  const page = open(data);
  for (const [typed, left] of [['circuit 2', [0, 1, 2]], ['"circuit 2"', [2]], ['“Circuit 2”', [2]], ['„circuit 2”', [2]], ['"circuit 2', [2]], ['"circuit 1"', [0, 1]], ['"circuit 1" back', [0]], ['"2 circuit"', []], ['"', [0, 1, 2, 3]], ['""', [0, 1, 2, 3]]]) {
    type(page, typed);
    assert.deepEqual(shown(page), left, typed);
  }
  assert.deepEqual(page.plain(`wordsOf('10" x "a b" c')`), ['10"', 'x', 'a b', 'c'], 'one that ends a word is of the word');
});

test('where nothing is found the page says so and leads back', () => {
  const page = open(example());
  page.by('shown').dataset.of = '9 exceptions';
  page.run('filterTable()');
  assert.equal(page.by('nothing').hidden, true);
  assert.equal(page.by('clear').disabled, true);
  type(page, '101');
  assert.equal(page.by('nothing').hidden, false);
  assert.equal(words(page.by('nothing')), 'Nothing found. None of the 4 findings has all that is asked for; see the structures above. Show all findings');
  assert.equal(words(page.by('places-told')), '1 structure without exceptions:');
  assert.equal(words(page.by('places-list')).trim(), 'North line, 101');
  assert.equal(page.by('places-list').children[0].attributes.href, '#structure/North%20line/101');
  page.by('check').value = '1';
  page.severity[2].checked = false;
  page.by('nothing').children.at(-1).listeners.click();
  assert.deepEqual(shown(page), [0, 1, 2, 3]);
  assert.deepEqual([page.by('words').value, page.by('check').value, page.severity[2].checked], ['', '', true]);
  assert.equal(page.by('places').hidden, true);
});

test('a page that does not hold all findings promises no more than it holds', () => {
  const page = open(example());
  type(page, '101');
  assert.match(words(page.by('nothing')), /None of the 4 findings that this page holds/);
  assert.match(words(page.by('places-told')), /without findings on this page:/);
  type(page, 'a 1');
  assert.match(words(page.by('places-list')), /South, A 1 \(not assessed\)/);
});

test('a bar leaves the findings of its check, and takes that back', () => {
  const page = open(example(), { bars: [1, 0] });
  const button = page.bar[0].children[0];
  button.listeners.click();
  assert.deepEqual(shown(page), [1, 3]);
  assert.deepEqual(page.bar.map((item) => item.children[0].attributes['aria-pressed']), ['true', 'false']);
  assert.equal(page.by('check').value, '1');
  assert.match(words(page.by('left')), /^2 findings left\./);
  button.listeners.click();
  assert.deepEqual(shown(page), [0, 1, 2, 3]);
  assert.equal(button.attributes['aria-pressed'], 'false');
  assert.equal(page.by('left').hidden, true);
});

test('a line filters, by name or as the one that is shown', () => {
  const page = open(example());
  page.by('of-line').value = '1';
  page.run('filterTable()');
  assert.deepEqual(shown(page), [3]);
  page.by('of-line').value = 'shown';
  page.run('setLine(0)');
  assert.deepEqual(shown(page), [0, 1, 2]);
});

test('values for a spreadsheet: quoted, and no text is taken for a formula', () => {
  const page = open(example());
  for (const [value, want] of [
    ['plain', 'plain'], ['a b', '"a b"'], ['a "b"', '"a ""b"""'], ['a;b', '"a;b"'], ['=1+1', "'=1+1"], ['-5', "'-5"], ['+1', "'+1"], ['@x', "'@x"], ['＝1', "'＝1"], ['\ufeff=1', "'\ufeff=1"], ['\t=1', '"\'\t=1"'], [-45, '-45'], [0, '0'], ['', ''],
  ]) assert.equal(page.run(`csvField(${JSON.stringify(value)})`), want, String(value));
  assert.equal(page.run('csvField(NaN)'), '');
});

test('the file of values has a row for each finding that is left, in the order of the table', () => {
  const data = withJob();
  const hostile = data.texts.length;
  data.texts.push('=HYPERLINK("x")');
  data.carried = [{ name: 'Remarks', values: [hostile, 0, 0, 0] }];
  const page = open(data);
  const rows = (list) => page.run(`csvOf(${list})`).split('\r\n');
  assert.equal(rows('state.shown').length, 6);
  assert.equal(rows('[]')[0], 'ids,check,severity,line,structure,structure_to,where,sentence,remedy,installed,margin_percent,state,first_seen,Remarks');
  assert.equal(rows('[0]')[1], '"aa0000000001 aa0000000002",creepage,shortfall,"North line",102,,"circuit 1; phase A,B,C; back","Has 2000 mm, needs 2500 mm.","hang 9 × U120B – 1 in the order of doing",7×U120B,-20,new,2026-11-24,"\'=HYPERLINK(""x"")"');
  assert.equal(rows('[3]')[1], 'dd0000000001-2,tension-at-deviation,note,South,,,,"Must hold tension.","Hang tension.",,,standing,2026-11-24,');
  assert.equal(page.run('rowAsText(0)').split('\t').length, 14);
  assert.match(page.run('rowAsText(0)'), /\t'=HYPERLINK\("x"\)$/);
});

test('only the rows that are seen are made, the rest when they are', () => {
  const data = example(), times = 100;
  for (const name of Object.keys(data.exceptions)) data.exceptions[name] = Array(times).fill(data.exceptions[name]).flat();
  const page = open(data);
  assert.equal(page.by('rows').children.length, 20);
  page.run('showInTable(150)');
  assert.equal(page.by('rows').children.length, 170, 'up to the one that is shown, and so many more');
  page.run('drawTable(true)');
  assert.equal(page.by('rows').children.length, 400, 'all on paper');
});

test('the first finding is chosen at first, without changing the address', () => {
  const page = open(example());
  assert.deepEqual(page.plain('[state.exception, state.structure, state.line]'), [0, 1, 0]);
  assert.equal(page.history.address, undefined);
  const facts = page.by('facts').children.map(words);
  assert.match(facts[0], /North line, 102/);
  assert.match(facts[1], /^shortfall: Too short a creepage.*Has 2000 mm, needs 2500 mm\.Add units\..*new, first seen 2026-11-24/);
  assert.match(facts[2], /Suspension at an angle/);
  page.run('chooseException(1)');
  assert.match(words(page.by('facts').children[1]), /Suspension at an angle/, 'what is chosen stands first');
  page.run("choose(0, { from: 'map' })");
  assert.match(page.by('facts').children.map(words).join(' '), /None\. What could not be judged/);
});

test('what is chosen can be copied from its row', () => {
  const page = open(example());
  const tools = () => page.by('rows').children.map((row) => words(row.children[3]).includes('Copy link'));
  assert.deepEqual(tools(), [true, false, false, false]);
  page.run('chooseException(2)');
  assert.deepEqual(tools(), [false, false, true, false]);
});

test('each choice is a step back, but those along the strip', () => {
  const page = open(example());
  page.run('chooseException(2)');
  assert.deepEqual([page.history.steps, page.history.address], [1, '#e-cc0000000001']);
  page.run('stepStructure(1); stepStructure(-1)');
  assert.deepEqual([page.history.steps, page.history.address], [1, '#structure/North%20line/103']);
});

test('a link to what is not here says so', () => {
  for (const [hash, told] of [['#e-ffff00000000', /exception of the link is not on this page/], ['#Nowhere/1', /the line Nowhere, which is not on this page/], ['#North%20line/999', /the structure 999 of the line North line/], ['#%E0%A4%A', /cannot be read/], ['#e-cc0000000001', null], ['#South/A%201', null], ['', null]]) {
    const page = open(example(), { hash }), notice = page.by('not-here');
    assert.equal(notice.hidden, told === null, hash);
    if (told) assert.match(notice.textContent, told);
  }
});

// A page holds at most so many structures and findings. Time is that of the processor, the least of a few turns, since others work beside.
test('a letter is answered within 100 ms however much the page holds', () => {
  const data = example(), structuresHeld = 50_000, findingsHeld = 20_000;
  const of = (name, value) => { data.structures[name] = Array.from({ length: structuresHeld }, value); };
  const from = data.texts.length;
  for (let s = 0; s < structuresHeld; s++) data.texts.push(`T-${String(s).padStart(5, '0')}`);
  for (const name of Object.keys(data.structures)) of(name, () => 0);
  of('number', (_, s) => from + s);
  of('class', () => 2);
  of('zone', () => -1);
  data.lines = { name: [1], title: [0], kv: [1320], count: [structuresHeld], of: [structuresHeld], length: [900], assessed: [1], closed: [0] };
  const four = data.exceptions;
  for (const name of Object.keys(four)) four[name] = Array.from({ length: findingsHeld }, (_, e) => four[name][e % 4]);
  four.at = four.at.map((_, e) => 2 * e);
  four.to = four.to.map(() => -1);
  four.line = four.line.map(() => 0);
  const page = open(data);
  page.run("haystack(); structuresWithout(['t'], 0)"); // made once, when the page has nothing else to do
  for (const typed of ['t', 't-0', 't-00', 'creepage', 'creepage t-0', 'north', 'nowhere']) {
    let least = Infinity;
    for (let turn = 0; turn < 5; turn++) {
      const before = process.cpuUsage();
      page.run(`state.shown = findingsLeft({ words: wordsOf('${typed}') }); sortTable(); tellPlaces(structuresWithout(wordsOf('${typed}'), mostPlaces))`);
      least = Math.min(least, process.cpuUsage(before).user / 1000);
    }
    assert.ok(least <= 100, `${typed}: ${least} ms`);
  }
});
