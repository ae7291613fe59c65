// Headroom: curves of one line and quantity to point at.

const curves = source.curves.map((c, index) => ({
  ...c, values: unpacked(c.values), falls: unpacked(c.falls), until: unpacked(c.until), index, scenario: text(c.scenario), line: text(c.line), quantity: text(c.quantity), unit: text(c.unit), lacks: text(c.lacks), name: `${text(c.duty)}, ${text(c.check)}`,
  marks: unpacked(c.marks).map((n, i) => ({ name: text(n), value: unpacked(c.at)[i] })),
}));
const figure = (x) => (x === null || !known(x) ? '–' : Number(x.toPrecision(5)).toLocaleString('en', { useGrouping: false, maximumFractionDigits: 4 }));

// upTo is a figure that is not above a value: what meets at the value meets at the figure.
function upTo(x) {
  if (!known(x) || x === 0) return figure(x);
  const parts = 10 ** Math.min(4, 4 - Math.floor(Math.log10(Math.abs(x)))); // as many decimals as a figure has at most
  let n = Math.round(x * parts);
  while (n / parts > x) n--;
  return figure(n / parts);
}

// shareAt is the share of the counted assemblies of a curve that meet at a value.
function shareAt(curve, value) {
  let left = curve.counted - curve.already;
  for (let i = 0; i < curve.values.length && curve.values[i] * (1 + 1e-9) < value; i++) left -= curve.falls[i];
  return left / curve.counted;
}

// curveDomain is the stretch of the quantity that is drawn: from today and the first that falls short to where the last curve has fallen by half.
function curveDomain(list) {
  const ends = list.flatMap((c) => [c.low, c.high, ...c.until, c.values.length ? c.values[0] : null, c.values.length ? c.values[c.values.length - 1] : null]).filter((x) => x !== null);
  const most = Math.max(...ends, ...list.map((c) => (c.values.length ? 0 : c.from || 0))), least = Math.min(...ends);
  if (!Number.isFinite(most) || !Number.isFinite(least)) return [0, 1];
  const pad = (most - least || Math.abs(most) || 1) * 0.08;
  return [Math.max(Math.min(0, least), least - pad), most + pad];
}

const percent = (share) => {
  const x = Math.floor(share * 1000 + 1e-9) / 10;
  return `${x === Math.floor(x) ? x : x.toFixed(1)}\u2009%`;
};

const chart = { svg: byId('curve-svg'), box: byId('curve-box'), list: [], cells: [], from: 0, to: 1, value: NaN, width: 0, height: 0 };
const plot = { left: 50, right: 16, top: 46, bottom: 40 };
const curveX = (value) => plot.left + ((value - chart.from) / (chart.to - chart.from)) * (chart.width - plot.left - plot.right);
const curveY = (share) => plot.top + (1 - share) * (chart.height - plot.top - plot.bottom);
const valueAt = (x) => chart.from + ((x - plot.left) / (chart.width - plot.left - plot.right)) * (chart.to - chart.from);

function curvePath(curve) {
  if (!curve.counted) return '';
  const x = (value) => round(Math.min(Math.max(curveX(value), plot.left), chart.width - plot.right));
  let left = curve.counted - curve.already;
  let d = `M${x(Math.max(chart.from, curve.from || 0))} ${round(curveY(left / curve.counted))}`;
  curve.values.forEach((value, i) => {
    left -= curve.falls[i];
    d += `H${x(value)}V${round(curveY(left / curve.counted))}`;
  });
  return `${d}H${x(curve.to === null ? chart.to : Math.min(chart.to, curve.to))}`;
}

// crowdedOut leaves of labels along the axis those that have room, the first before the others.
function crowdedOut(labels) {
  let end = -Infinity;
  return labels.sort((a, b) => a.x - b.x).filter(({ x, name }) => {
    if (x < end) return false;
    end = x + 6.1 * name.length + 12;
    return end < chart.width + 40;
  });
}

// isReadable tells whether any of the curves counts an assembly, so that there is something to read at a value.
const isReadable = (list) => list.some((c) => c.counted);

function drawCurves() {
  const list = chart.list;
  chart.width = chart.box.clientWidth; chart.height = chart.box.clientHeight;
  if (!list.length || !chart.width) return;
  chart.svg.setAttribute('viewBox', `0 0 ${chart.width} ${chart.height}`);
  if (!isReadable(list)) {
    chart.pointer = null;
    chart.svg.replaceChildren(drawn('text', { class: 'middle', x: round(chart.width / 2), y: round(chart.height / 2) }, 'No curve: nothing could be assessed.'));
    return;
  }
  const bottom = chart.height - plot.bottom, right = chart.width - plot.right, parts = [];
  for (const share of [0, 0.25, 0.5, 0.75, 1]) {
    const y = round(curveY(share));
    parts.push(drawn('path', { class: 'hairline', d: `M${plot.left} ${y}H${right}` }), drawn('text', { class: 'faint end', x: plot.left - 6, y: y + 4 }, `${100 * share} %`));
  }
  let ticks = `M${plot.left} ${bottom}H${right}`;
  for (const value of niceLevels(chart.from, chart.to, Math.max(3, (right - plot.left) / 90))) {
    ticks += `M${round(curveX(value))} ${bottom}v5`;
    parts.push(drawn('text', { class: 'faint middle', x: round(curveX(value)), y: bottom + 18 }, figure(value)));
  }
  parts.push(drawn('path', { class: 'axis', d: ticks }), drawn('text', { class: 'faint end', x: right, y: chart.height - 6 }, `${list[0].quantity}, ${list[0].unit}`));
  const marks = new Map(list.flatMap((c) => c.marks).filter(({ value }) => value > chart.from && value < chart.to).map((mark) => [mark.value, mark.name]));
  for (const value of marks.keys()) parts.push(drawn('path', { class: 'curve-mark', d: `M${round(curveX(value))} ${plot.top - 6}V${bottom}` }));
  for (const { x, name } of crowdedOut([...marks].map(([value, name]) => ({ x: curveX(value), name })))) parts.push(drawn('text', { class: 'faint', x: round(Math.min(x - 3, right - 6.1 * name.length)), y: plot.top - 10 }, name));
  const lows = list.map((c) => c.low).filter((x) => x !== null), highs = list.map((c) => c.high).filter((x) => x !== null);
  if (lows.length) {
    const x0 = round(curveX(Math.min(...lows))), x1 = round(curveX(Math.max(...highs)));
    parts.push(drawn('path', { class: 'curve-today', d: `M${x0} ${plot.top - 20}V${bottom}${x1 > x0 + 1 ? `M${x1} ${plot.top - 20}V${bottom}` : ''}` }), drawn('text', { class: 'halo', x: Math.min(x0 + 4, right - 130), y: plot.top - 26 }, `${list[0].scenario === 'today' ? 'today' : 'in the scenario'}${x1 > x0 + 1 ? ', from … to' : ''}`));
  }
  list.forEach((curve, i) => parts.push(drawn('path', { class: `curve curve-${i % 8}`, d: curvePath(curve) })));
  list.forEach((curve) => curve.until.forEach((value, k) => { // where 1 %, 10 % and half have fallen
    if (k > 0 && value !== null && value >= chart.from && value <= chart.to) parts.push(drawn('path', { class: 'curve-dot', d: [null, (x, y) => `M${x - 3.2} ${y}a3.2 3.2 0 1 0 6.4 0a3.2 3.2 0 1 0-6.4 0z`, (x, y) => `M${x - 3} ${y - 3}h6v6h-6z`, (x, y) => `M${x} ${y - 4.4}l4.4 4.4l-4.4 4.4l-4.4-4.4z`][k](round(curveX(value)), round(curveY(shareAt(curve, value)))) }));
  }));
  chart.pointer = drawn('path', { class: 'cursor' });
  chart.svg.replaceChildren(...parts, chart.pointer);
  readAt(chart.value);
}

// readAt reads every curve at a value: the line across the chart, and the table beside it.
function readAt(value) {
  if (!isReadable(chart.list)) return;
  chart.value = Math.min(Math.max(known(value) ? value : chart.list[0].high ?? chart.from, chart.from), chart.to);
  const { quantity, unit } = chart.list[0];
  if (chart.pointer) chart.pointer.setAttribute('d', `M${round(curveX(chart.value))} ${plot.top}V${chart.height - plot.bottom}`);
  const shares = chart.list.map((c) => (!c.counted ? ['not assessed', c.lacks].filter(Boolean).join(': ') : c.from !== null && chart.value < c.from * (1 - 1e-9) ? 'not known below that' : percent(shareAt(c, chart.value))));
  byId('curve-at').textContent = `At ${upTo(chart.value)} ${unit} of ${quantity}`;
  chart.cells.forEach((cell, i) => { cell.textContent = shares[i]; });
  chart.box.setAttribute('aria-valuenow', upTo(chart.value));
  chart.box.setAttribute('aria-valuetext', `${upTo(chart.value)} ${unit}: ${chart.list.map((c, i) => `${c.name} ${shares[i]}`).join('; ')}`);
}

// showCurves draws the curves of the chosen line and quantity.
function showCurves() {
  const [scenario, line] = JSON.parse(byId('curve-line').value), quantity = byId('curve-quantity').value;
  chart.list = curves.filter((c) => c.scenario === scenario && c.line === line && c.quantity === quantity);
  [chart.from, chart.to] = curveDomain(chart.list);
  chart.value = NaN;
  chart.cells = chart.list.map((c) => element('td', { class: c.counted ? 'number' : 'number lacking' })); // why nothing is counted is a sentence
  byId('curve-rows').replaceChildren(...chart.list.map((c, i) => element('tr', null,
    element('th', { scope: 'row' }, drawn('svg', { viewBox: '0 0 40 12', 'aria-hidden': 'true' }, drawn('path', { class: `curve curve-${i % 8}`, d: 'M1 6H39' })), c.name), chart.cells[i])));
  if (isReadable(chart.list)) {
    chart.box.setAttribute('aria-valuemin', figure(chart.from));
    chart.box.setAttribute('aria-valuemax', figure(chart.to));
  } else sayUnread();
  byId('curve-box').setAttribute('aria-disabled', String(!isReadable(chart.list)));
  byId('curve-named').replaceChildren(element('bdi', null, line), ', ', element('bdi', null, scenario), `, as ${quantity} rises`);
  listCurves();
  drawCurves();
}

// sayUnread says of curves that count no assembly what is missing, in place of figures.
function sayUnread() {
  byId('curve-at').textContent = `As ${chart.list[0].quantity} rises nothing can be read`;
  chart.cells.forEach((cell, i) => { cell.textContent = chart.list[i].lacks ? `not assessed: ${chart.list[i].lacks}` : 'not assessed'; });
  for (const name of ['aria-valuemin', 'aria-valuemax', 'aria-valuenow']) chart.box.removeAttribute(name);
  chart.box.setAttribute('aria-valuetext', chart.list.map((c, i) => `${c.name} ${chart.cells[i].textContent}`).join('; '));
}

// listCurves leaves in the table the curves that are drawn, or all.
function listCurves() {
  const all = byId('curve-all').checked;
  for (const row of document.querySelectorAll('.curves tbody tr')) row.hidden = !all && !chart.list.some((c) => c.index === Number(row.dataset.curve));
}

function quantitiesOf() {
  const [scenario, line] = JSON.parse(byId('curve-line').value), before = byId('curve-quantity').value;
  const list = [...new Set(curves.filter((c) => c.scenario === scenario && c.line === line).map((c) => c.quantity))];
  byId('curve-quantity').replaceChildren(...list.map((name) => element('option', { value: name }, `as ${name} rises`)));
  byId('curve-quantity').value = list.includes(before) ? before : list[0];
}

// showCurvesOf shows the first curve of a scenario, where it has one.
function showCurvesOf(scenario) {
  const first = curves.find((c) => c.scenario === scenario);
  if (!first) return;
  byId('curve-line').value = JSON.stringify([first.scenario, first.line]);
  quantitiesOf();
  showCurves();
}

if (curves.length) (() => {
  byId('curve-part').hidden = false;
  const seen = new Set();
  for (const c of curves) {
    const value = JSON.stringify([c.scenario, c.line]);
    if (!seen.has(value)) byId('curve-line').append(element('option', { value }, `${c.line}, ${c.scenario}`));
    seen.add(value);
  }
  showCurvesOf(curves[0].scenario);
  byId('curve-choice').addEventListener('submit', (event) => event.preventDefault());
  byId('curve-line').addEventListener('change', () => { quantitiesOf(); showCurves(); });
  byId('curve-quantity').addEventListener('change', showCurves);
  byId('curve-all').addEventListener('change', listCurves);
  const point = (event) => readAt(valueAt(event.clientX - chart.box.getBoundingClientRect().left));
  chart.box.addEventListener('pointermove', point);
  chart.box.addEventListener('pointerdown', point);
  // Shift steps finely, Page Up and Down go to where a curve falls.
  const falls = () => [...new Set(chart.list.flatMap((c) => c.values))].sort((a, b) => a - b);
  const step = (event) => (chart.to - chart.from) / (event.shiftKey ? 1000 : 100);
  const keys = {
    ArrowRight: (e) => readAt(chart.value + step(e)), ArrowUp: (e) => readAt(chart.value + step(e)), ArrowLeft: (e) => readAt(chart.value - step(e)), ArrowDown: (e) => readAt(chart.value - step(e)),
    Home: () => readAt(chart.from), End: () => readAt(chart.to),
    PageUp: () => readAt(falls().find((x) => x > chart.value * (1 + 1e-9)) ?? chart.to), PageDown: () => readAt(falls().findLast((x) => x < chart.value * (1 - 1e-9)) ?? chart.from),
  };
  chart.box.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !keys[event.key]) return;
    event.preventDefault();
    keys[event.key](event);
  });
  new ResizeObserver(drawCurves).observe(chart.box);
  window.addEventListener('beforeprint', drawCurves);
  window.addEventListener('afterprint', drawCurves);
})();
