
// The job of a structure as a sheet to tick off, a sheet of paper each.

const jobs = source.jobs || [];
const jobAt = new Map(jobs.map((job, i) => [job.at, i]));
// On one sheet of paper.
const mostFindings = 12, mostBeside = 5, mostNotes = 6;

// sheetsOf tells which jobs a link asks for, null where it asks for none: #work-sheets, #work-sheets/line, #work-sheets/line/structure. A job that is accepted
// is there only where its structure is named.
function sheetsOf(hash) {
  let names;
  try { names = hash.split('/').map(decodeURIComponent); } catch { return null; }
  if (names[0] !== 'work-sheets') return null;
  const all = jobs.map((_, i) => i);
  if (names.length === 1) return all.filter((i) => !jobs[i].aside);
  const number = names.slice(2).join('/');
  return all.filter((i) => lines[lineOf[jobs[i].at]].name === names[1] && (names.length === 2 ? !jobs[i].aside : text(structures.number[jobs[i].at]) === number));
}

const box = () => element('span', { class: 'box', 'aria-hidden': 'true' });
const part = (heading, ...content) => element('section', null, element('h3', null, heading), ...content);
const listed = (texts, ticked) => element('ul', ticked ? { class: 'ticks' } : null,
  ...texts.map((words) => element('li', { dir: 'ltr' }, ...(ticked ? [box()] : []), inOrder(words))));
const first = (texts, most) => (texts.length > most ? [...texts.slice(0, most), `and ${texts.length - most} more, which the workbook lists`] : texts);

// sheetOf is the sheet of one job; which says which of the sheets it is.
function sheetOf(job, which) {
  const s = job.at, line = lines[lineOf[s]], words = (numbers) => numbers.map((n) => text(n));
  const place = [known(structures.lat[s]) && known(structures.lon[s]) ? `latitude ${structures.lat[s].toFixed(6)}, longitude ${structures.lon[s].toFixed(6)}` : '',
    known(structures.chainage[s]) ? `at ${(structures.chainage[s] / 1000).toFixed(3)} km` : '', text(structures.role[s])].filter(Boolean).join(' · ');
  const begin = words(job.begin), hang = words(job.hang), beside = words(job.beside), notes = words(job.notes);
  const parts = [part('What is wrong', listed(first(words(job.findings), mostFindings))), part('What hangs there', listed(job.hangs.length ? words(job.hangs) : ['nothing is registered']))];
  if (begin.length + hang.length) {
    parts.push(part('What to do', listed([...begin, ...hang], true), ...(hang.length ? [element('p', { class: 'soft' }, 'A proposal: whether the structure bears it is an engineer’s to decide.')] : [])));
  }
  if (hang.length) {
    parts.push(element('div', { class: 'both' }, part('Units to fit', job.fit.length ? listed(words(job.fit), true) : 'none'),
      part('Units to remove', job.remove.length ? listed(words(job.remove), true) : 'none')),
    element('p', { dir: 'ltr' }, [`Sets of fittings to add: ${job.sets || 'none'}.`, `Price of the units: ${text(job.price)}.`, text(job.chosen) && `Units ${inOrder(text(job.chosen))}.`].filter(Boolean).join(' ')));
  }
  if (job.afterLook.length) parts.push(part('Only if a look asks for it', listed(words(job.afterLook), true)));
  const open = [...words(job.stopped), ...words(job.open)];
  parts.push(part('What stays open', open.length ? listed(open) : 'nothing that the audit judges'));
  const mends = words(job.mends);
  if (mends.length) parts.push(part('Found here besides, also mended by this job', listed(first(mends, mostBeside))));
  if (beside.length) parts.push(part('Found here besides, not part of this job', listed(first(beside, mostBeside))));
  if (notes.length) parts.push(part('In the records', listed(first(notes, mostNotes))));
  const blank = (name) => element('div', null, element('dt', null, name), element('dd'));
  return element('article', { class: 'sheet' },
    element('header', null, element('p', { class: 'kind' }, `Job ${job.rank} of ${source.jobsInAll}, ${text(job.why)}${which}`),
      element('h2', { dir: 'auto' }, 'Line ', element('bdi', null, line.name), ', structure ', element('bdi', null, text(structures.number[s]))),
      ...(text(job.decided) ? [element('p', { class: 'decided', dir: 'ltr' }, `Decided: ${inOrder(text(job.decided))}.${job.aside ? ' Not to be done while that holds.' : ''}`)] : []),
      ...[text(job.line), place, words(job.spans).join(' · ')].filter(Boolean).map((told) => element('p', { class: 'soft', dir: 'ltr' }, inOrder(told)))),
    ...parts,
    element('dl', { class: 'signed' }, blank('Found on site otherwise'), blank('Done by'), blank('On')),
    element('footer', null, element('p', null, byId('caution').textContent), element('p', null, byId('run').textContent)));
}

// acceptedOf counts the accepted jobs among those that a link asks for: of its line, or of all.
const acceptedOf = (hash) => {
  const line = hash.split('/').slice(1, 2).map(decodeURIComponent);
  return jobs.filter((job) => job.aside && (!line.length || lines[lineOf[job.at]].name === line[0])).length;
};

// showSheets puts the sheets of some jobs, for which a link asks, in the place of the page.
function showSheets(chosen, hash) {
  const left = source.jobsInAll - jobs.length, accepted = acceptedOf(hash);
  const told = `${counted(chosen.length, 'job sheet', 'job sheets')}${left > 0 ? `; of ${grouped(source.jobsInAll)} jobs the page holds ${grouped(jobs.length)}, the workbook all` : ''}${accepted && !chosen.some((i) => jobs[i].aside) ? `; ${counted(accepted, 'job that is accepted has', 'jobs that are accepted have')} a sheet only when asked for by structure` : ''}`;
  byId('sheets-told').textContent = told;
  byId('sheets-list').replaceChildren(...chosen.map((i, k) => sheetOf(jobs[i], chosen.length > 1 ? ` · sheet ${k + 1} of ${chosen.length}` : '')));
  byId('sheets').hidden = false;
  document.body.classList.add('sheets-only');
}

function closeSheets() {
  byId('sheets').hidden = true;
  document.body.classList.remove('sheets-only');
  byId('sheets-list').replaceChildren();
}

// offerSheets lets the buttons ask for the sheets of what is chosen.
function offerSheets() {
  const line = lines[state.line];
  byId('sheet-one').disabled = !jobAt.has(state.structure);
  byId('sheets-line').disabled = !line || !jobs.some((job) => !job.aside && lineOf[job.at] === line.index);
  byId('sheets-all').disabled = jobs.every((job) => job.aside);
}
