// What both pages do around map and strip: the line that is shown, the structure under the pointer, the legend, and paper.

function setLine(index) {
  state.line = index;
  byId('line').value = String(index);
  const line = lines[index];
  const parts = [];
  if (known(line.kv)) parts.push(`${line.kv} kV`);
  if (known(line.length)) parts.push(`${(line.length / 1000).toFixed(1)} km`);
  parts.push(line.of > line.end - line.first ? `${grouped(line.end - line.first)} of ${counted(line.of, 'structure', 'structures')}` : counted(line.of, 'structure', 'structures'));
  if (!line.assessed) parts.push('not assessed');
  else if (line.exceptions.some((n) => n > 0)) parts.push(exceptionsOf(line));
  byId('line-facts').textContent = parts.join(' · ');
  strip.box.setAttribute('aria-valuemax', String(line.end - line.first));
  wholeStrip();
  lineShown();
}

// exceptionsOf says how many exceptions of a line are open; nothing where none is.
function exceptionsOf(line) {
  const parts = [['shortfall', 'shortfalls'], ['advisory', 'advisories'], ['note', 'notes']].map((names, i) => (line.exceptions[i] ? counted(line.exceptions[i], ...names) : '')).filter(Boolean);
  return parts.length ? `${parts.join(', ')} open` : '';
}

// tipOfTag says what a tag counts, tipOfLine what is known of a line; nothing of neither.
const tipOfTag = (group) => [element('p', null, counted(group.members.length, 'structure', 'structures')),
  ...tagParts(group.kinds).map(({ n, kind }) => element('p', null, glyph(kind), `${grouped(n)} ${map.kinds[kind]}`))];
const tipOfLine = (line) => (line ? [line.title ? `${line.name} – ${line.title}` : line.name, known(line.kv) ? `${line.kv} kV` : '', counted(line.of, 'structure', 'structures'),
  line.assessed ? exceptionsOf(line) : 'not assessed', line.end === line.first ? 'no single structure of it is on this page' : ''].filter(Boolean).map((t) => element('p', { dir: 'ltr' }, inOrder(shortened(t, 160)))) : []);

// tellAt shows something beside the pointer, hides it where there is nothing.
function tellAt(told, event) {
  const tip = byId('tip');
  tip.hidden = !told.length;
  if (!told.length) return;
  tip.replaceChildren(...told);
  putTip(event);
}

function putTip(event) {
  const tip = byId('tip');
  tip.style.left = `${Math.min(event.clientX + 16, window.innerWidth - tip.offsetWidth - 8)}px`;
  const below = event.clientY + 18;
  tip.style.top = `${below + tip.offsetHeight > window.innerHeight ? Math.max(4, event.clientY - tip.offsetHeight - 12) : below}px`;
}

function hoverOver(s, event) {
  const tip = byId('tip');
  if (s !== state.hover) {
    state.hover = s;
    drawRing('hover', s, 8);
    drawStripCursors();
    if (s >= 0) tip.replaceChildren(...tipOf(s));
    tip.hidden = s < 0;
  }
  if (s >= 0 && event) putTip(event);
}

const legendItem = (picture, ...words) => element('li', null, drawn('svg', { viewBox: '0 0 24 17', 'aria-hidden': 'true' }, ...picture), ...words);

// legend says what the map draws: zones, structures, marks; of, where set, whose the classes are.
function legend(marks, of = '') {
  const used = new Set([...structures.class, ...drawnZones.map((z) => z.class)]);
  const items = [];
  map.kinds = marks;
  used.delete(0);
  const plain = [drawnZones.some((z) => z.specific !== null) && 'own figure of creepage', drawnZones.some((z) => z.doubtful) && 'class or area not readable'].filter(Boolean).join('; ');
  if (plain) used.add(0);
  [...used].sort().forEach((c) => {
    const d = 'M1 1H23V16H1z';
    items.push(legendItem([drawn('path', { class: `zone tint-${c}`, d }), ...(hatches[c] ? [drawn('path', { class: 'zone', d, fill: `url(#map-${hatches[c]})` })] : [])],
      c ? `class ${classes[c].letter}${classes[c].name && classes[c].name !== `class ${classes[c].letter}` ? `, ${classes[c].name}` : ''}` : plain));
  });
  items.push(legendItem([drawn('path', { class: 'held', d: 'M8 5h7v7h-7z' })], 'needs tension'), legendItem([drawn('circle', { class: 'hung', cx: 12, cy: 8.5, r: 2.6 })], 'may hang in suspension'));
  items.push(legendItem([drawn('path', { class: 'tag', d: 'M1 2H23V15H1z' }), drawn('path', { class: 'mark mark-0', d: markAt[0](8, 8.5, 0.72) }), drawn('text', { x: 14, y: 12.5 }, '5')], 'structures counted together'));
  if (places.name.length) items.push(legendItem([drawn('circle', { class: 'place-dot', cx: 12, cy: 8.5, r: placeDot })], 'place'));
  if (map.levels.length) {
    const bounds = [0, ...map.levels];
    bounds.forEach((from, i) => {
      const range = i + 1 < bounds.length ? (i ? `${from} to ${bounds[i + 1]}` : `below ${bounds[1]}`) : `${from} and more`;
      items.push(legendItem([drawn('path', { class: `dense dense-${i + 1}`, d: 'M2 8.5H22' })], i ? range : `open exceptions per km of the line: ${range}`));
    });
  }
  marks.forEach((name, kind) => items.push(legendItem([drawn('path', { class: `mark mark-${kind}`, d: markAt[kind](12, 9) })], name)));
  if (of) items.unshift(element('li', null, of));
  byId('legend').replaceChildren(...items);
}

// The drawings on paper, in CSS pixels: A4 across, see the style for print.
const paper = { width: 1036, map: 470 };

// unfold opens for paper what is folded on the screen, fold folds that again.
let unfolded = [];
function unfold() {
  unfolded = [...document.querySelectorAll('.first details:not([open])')];
  for (const one of unfolded) one.open = true;
}
function fold() {
  for (const one of unfolded) one.open = false;
}

// onPaper draws map and strip anew where their room or the paper asks for it; drawRows(true) draws every row of the table.
function onPaper(drawRows) {
  const sizes = new ResizeObserver(() => { drawMap(); drawStrip(); });
  for (const box of [map.box, strip.box]) sizes.observe(box);
  window.addEventListener('beforeprint', () => {
    const { scale, width, height } = map;
    setScale(scale * Math.min(paper.width / width, paper.map / height));
    drawRows(true);
    unfold();
    drawMapNow(paper.width, paper.map);
    if (lines[state.line]) drawStripNow(paper.width, lanesHeight(lines[state.line]) + axisHeight);
    map.scale = scale;
  });
  window.addEventListener('afterprint', () => { fold(); drawRows(); drawMap(); drawStrip(); });
}
