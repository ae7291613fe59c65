
// The table of cohorts, whose rows stand in the page: those that have some words, in the order of a column or of the sheet.

const cohorts = { rows: [...document.querySelectorAll('.cohorts tbody tr')], heads: [...document.querySelectorAll('.cohorts thead th')], by: null, down: false };

// cohortKey is what a row is sorted by: what is soft is not stated, or not said of few, and stands last.
const cohortKey = ({ cells }, column) => (cells[column].classList.contains('soft') ? '' : cells[column].textContent.replaceAll('\u202f', ''));

function sortCohorts(th) {
  Object.assign(cohorts, th !== cohorts.by ? { by: th, down: false } : cohorts.down ? { by: null } : { down: true });
  const { rows, by, down } = cohorts;
  const keys = new Map(by ? rows.map((row) => [row, cohortKey(row, by.cellIndex)]) : []);
  const compare = ([a, b]) => (a === '') - (b === '') || (down ? compareTexts(b, a) : compareTexts(a, b));
  document.querySelector('.cohorts tbody').append(...(by ? [...rows].sort((...two) => compare(two.map((row) => keys.get(row)))) : rows));
  showSorting(cohorts.heads, by, down);
}

function filterCohorts() {
  const words = wordsOf(byId('cohort-words').value);
  for (const row of cohorts.rows) {
    const [make, type, years, sort] = [...row.cells].map(({ textContent }) => textContent), hay = folded(`${make}\n${type}\n${years}\nclass ${sort}`);
    row.hidden = !words.every((word) => hay.includes(word));
  }
  const told = byId('cohorts-told'), shown = cohorts.rows.filter(({ hidden }) => !hidden).length;
  told.dataset.of ||= told.textContent;
  told.textContent = words.length ? `${grouped(shown)} of ${told.dataset.of}` : told.dataset.of;
}

if (cohorts.rows.length) {
  offerSorting(cohorts.heads, sortCohorts);
  byId('cohort-words').addEventListener('input', filterCohorts);
}
