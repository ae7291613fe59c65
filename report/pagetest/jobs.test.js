'use strict';

const { test } = require('node:test');
const assert = require('node:assert/strict');
const { open, example } = require('./page.js');

// Two jobs on the first line, of three in all; the last texts are theirs.
const from = example().texts.length;
const withJobs = () => {
  const data = example();
  data.texts.push('shortfall, other', 'creepage: too short', 'circuit 1: 9 × U70BL', '2 × U70BL', 'nothing serves: no stock', 'not assessed: strength',
    'North line, 132 kV, 2 circuits', 'span ahead 300 m, crosses road', 'Remarks: ask the farmer', 'advisory: String short', '40.50', 'advisory: A suspension assembly where the line turns');
  const none = { findings: [from + 1], hangs: [], begin: [], hang: [], fit: [], remove: [], sets: 0, price: 0, afterLook: [], open: [], stopped: [], chosen: 0, line: 0, spans: [], notes: [], beside: [], mends: [] };
  data.jobs = [{ ...none, at: 1, rank: 1, why: from, hang: [from + 2], fit: [from + 3], price: from + 10, open: [from + 5], line: from + 6, spans: [from + 7], notes: [from + 8], beside: [from + 9], mends: [from + 11] }, { ...none, at: 2, rank: 3, why: from, afterLook: [from + 3], stopped: [from + 4] }];
  data.jobsInAll = 3;
  return data;
};
const words = (node) => (typeof node === 'string' ? node : node.children.map(words).join(' '));
const boxes = (node) => (typeof node === 'string' ? 0 : (node.attributes.class === 'box') + node.children.reduce((n, child) => n + boxes(child), 0));

test('a link asks for all sheets, those of a line or one', () => {
  const page = open(withJobs());
  for (const [hash, jobs] of [['work-sheets', [0, 1]], ['work-sheets/North%20line', [0, 1]], ['work-sheets/North%20line/103', [1]], ['work-sheets/South', []]]) {
    assert.deepEqual(page.plain(`sheetsOf('${hash}')`), jobs, hash);
  }
  for (const hash of ['', 'e-1', 'North%20line/102', '%']) assert.equal(page.run(`sheetsOf('${hash}')`), null, hash);
});

test('a sheet has what is wrong, what to hang with boxes to tick, and what stays open', () => {
  const page = open(withJobs(), { hash: '#work-sheets' });
  assert.equal(page.by('sheets').hidden, false);
  assert.match(page.by('sheets-told').textContent, /^2 job sheets; of 3 jobs the page holds 2/);
  const [first, second] = page.by('sheets-list').children;
  for (const part of [/Job 1 of 3/, /North line/, /102/, /creepage: too short/, /nothing is registered/, /9 × U70BL/, /2 × U70BL/, /Price of the units: 40\.50\./, /not assessed: strength/,
    /North line, 132 kV, 2 circuits/, /span ahead 300 m, crosses road/, /In the records.*ask the farmer/, /Found here besides, also mended by this job.*where the line turns/, /Found here besides, not part of this job.*advisory: String short/]) assert.match(words(first), part);
  assert.equal(boxes(first), 2, 'what stays open is nothing to tick');
  assert.match(words(second), /sheet 2 of 2/);
  assert.doesNotMatch(words(second), /In the records|Found here besides/);
  assert.match(words(second), /nothing serves: no stock/);
  assert.match(words(second), /Only if a look asks for it.*2 × U70BL/);
  assert.doesNotMatch(words(second), /What to do/);
});

test('of many findings a sheet of paper has the first, and says how many there are', () => {
  const data = withJobs();
  data.jobs[0].findings = Array(20).fill(from + 1);
  data.jobs[0].beside = Array(20).fill(from + 9);
  data.jobs[0].notes = Array(20).fill(from + 8);
  const [first] = open(data, { hash: '#work-sheets' }).by('sheets-list').children;
  for (const left of [/and 8 more/, /and 15 more/, /and 14 more/]) assert.match(words(first), left);
});

test('the page comes back, and its buttons offer what there is', () => {
  const page = open(withJobs(), { hash: '#work-sheets' });
  page.by('sheets-back').listeners.click();
  assert.equal(page.by('sheets').hidden, true);
  page.run('choose(1)');
  assert.deepEqual(['sheet-one', 'sheets-line', 'sheets-all'].map((id) => page.by(id).disabled), [false, false, false]);
  page.run('choose(4)');
  assert.deepEqual(['sheet-one', 'sheets-line', 'sheets-all'].map((id) => page.by(id).disabled), [true, true, false]);
});

test('an accepted job has a sheet only when its structure is asked for, and the sheet says so', () => {
  const data = withJobs();
  data.texts.push('accepted, until 2027-10-20, by RK', 'planned, until 2027-03-01');
  Object.assign(data.jobs[0], { decided: data.texts.length - 1, aside: 0 });
  Object.assign(data.jobs[1], { decided: data.texts.length - 2, aside: 1 });
  const page = open(data, { hash: '#work-sheets' });
  for (const [hash, jobs] of [['work-sheets', [0]], ['work-sheets/North%20line', [0]], ['work-sheets/North%20line/103', [1]]]) assert.deepEqual(page.plain(`sheetsOf('${hash}')`), jobs, hash);
  assert.match(page.by('sheets-told').textContent, /1 job that is accepted has a sheet only when asked for by structure/);
  const planned = words(page.by('sheets-list').children[0]);
  assert.match(planned, /Decided: planned, until 2027-03-01\./);
  assert.doesNotMatch(planned, /Not to be done/);
  const accepted = open(data, { hash: '#work-sheets/North%20line/103' });
  assert.match(words(accepted.by('sheets-list').children[0]), /Decided: accepted, until 2027-10-20, by RK\. Not to be done while that holds\./);
  assert.doesNotMatch(accepted.by('sheets-told').textContent, /accepted/);
  const counted = (hash) => /(\d+) jobs? that (is|are) accepted/.exec(open(data, { hash }).by('sheets-told').textContent)?.[1];
  data.jobs.push({ ...data.jobs[1], at: 3 });
  assert.deepEqual(['#work-sheets', '#work-sheets/North%20line', '#work-sheets/South'].map(counted), ['2', '2', undefined]);
  data.jobs[2].at = 4;
  assert.deepEqual(['#work-sheets', '#work-sheets/North%20line'].map(counted), ['2', '1'], 'of the line that is asked for');
  data.jobs.pop();
  for (const job of data.jobs) job.aside = 1;
  const none = open(data);
  none.run('choose(1)');
  assert.deepEqual(['sheet-one', 'sheets-line', 'sheets-all'].map((id) => none.by(id).disabled), [false, true, true]);
});

test('a page without jobs has no sheets', () => {
  const page = open(example());
  assert.equal(page.by('sheets-all').disabled, true);
  assert.deepEqual(page.plain(`sheetsOf('work-sheets')`), []);
});

test('what is to be looked at or entered has boxes to tick, above what is to be hung', () => {
  const data = withJobs();
  data.texts.push('look first: the datum is said to be wrong: drone picture');
  for (const job of data.jobs) job.begin = [data.texts.length - 1];
  const [first, second] = open(data, { hash: '#work-sheets' }).by('sheets-list').children;
  assert.match(words(first), /What to do.*drone picture.*9 × U70BL.*A proposal/);
  assert.equal(boxes(first), 3);
  assert.match(words(second), /What to do.*drone picture/);
  assert.doesNotMatch(words(second), /A proposal|Units to fit/);
  assert.equal(boxes(second), 2);
});
