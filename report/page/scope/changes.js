// The tables of changes, one to a scenario: filtered by line and kind of work, tied to map and strip.

const tables = [...document.querySelectorAll('.scenario')].map((section) => {
  const rows = [...section.querySelectorAll('.changes tbody tr')];
  return {
    section, rows, work: section.querySelector('.work'), scroll: section.querySelector('.scroll'), listed: section.querySelector('.listed'),
    line: section.querySelector('.by-line'), kind: section.querySelector('.by-kind'), form: section.querySelector('.filters'),
    at: new Map(rows.map((row) => [Number(row.dataset.at), row])),
  };
});

// filterChanges leaves the rows of a line and a kind of work.
function filterChanges(table) {
  const line = table.line.value, kind = table.kind.value;
  let left = 0;
  for (const row of table.rows) {
    row.hidden = (line !== '' && row.dataset.line !== line) || (kind !== '' && !row.dataset.kinds.split(' ').includes(kind));
    if (!row.hidden) left++;
  }
  table.listed.textContent = left === table.rows.length ? `${counted(left, 'structure', 'structures')}, along the lines` : `${grouped(left)} of ${counted(table.rows.length, 'structure', 'structures')}`;
}

// rowOf is the row of a structure in the table of the chosen scenario, undefined for none.
const rowOf = (s) => (s < 0 ? undefined : tables[state.scenario].at.get(s));

// markRow shows which row is that of the chosen structure, and brings it into view where the table scrolls.
function markRow() {
  const table = tables[state.scenario], chosen = rowOf(state.structure);
  for (const row of table.rows) if (row !== chosen) row.removeAttribute('aria-current');
  if (!chosen) return;
  chosen.setAttribute('aria-current', 'true');
  const box = table.scroll.getBoundingClientRect(), at = chosen.getBoundingClientRect();
  if (table.scroll.scrollHeight > table.scroll.clientHeight + 2 && (at.top < box.top + 40 || at.bottom > box.bottom)) table.scroll.scrollTop += at.top - box.top - box.height / 3;
}

for (const table of tables) {
  table.form.hidden = false;
  table.section.querySelector('.changes').classList.add('live');
  table.form.addEventListener('submit', (event) => event.preventDefault());
  table.form.addEventListener('input', () => filterChanges(table));
  table.section.querySelector('.changes tbody').addEventListener('click', (event) => {
    const row = event.target.closest('tr');
    if (!row || event.target.closest('a') || String(window.getSelection())) return;
    if (row.dataset.at !== '-1') choose(Number(row.dataset.at), { from: 'table' });
  });
}
