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
  byId('line-facts').textContent = parts.join(' · ');
  strip.box.setAttribute('aria-valuemax', String(line.end - line.first));
  wholeStrip();
  lineShown();
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
  if (s >= 0 && event) {
    tip.style.left = `${Math.min(event.clientX + 16, window.innerWidth - tip.offsetWidth - 8)}px`;
    const below = event.clientY + 18;
    tip.style.top = `${below + tip.offsetHeight > window.innerHeight ? Math.max(4, event.clientY - tip.offsetHeight - 12) : below}px`;
  }
}

const legendItem = (picture, ...words) => element('li', null, drawn('svg', { viewBox: '0 0 24 17', 'aria-hidden': 'true' }, ...picture), ...words);

// legend says what the map draws: zones, structures, marks.
function legend(marks) {
  const used = new Set([...structures.class, ...zones.map((z) => z.class)]);
  const items = [];
  used.delete(0);
  const plain = [zones.some((z) => z.specific !== null) && 'own figure of creepage', zones.some((z) => z.doubtful) && 'class or area not readable'].filter(Boolean).join('; ');
  if (plain) used.add(0);
  [...used].sort().forEach((c) => {
    const d = 'M1 1H23V16H1z';
    items.push(legendItem([drawn('path', { class: `zone tint-${c}`, d }), ...(hatches[c] ? [drawn('path', { class: 'zone', d, fill: `url(#map-${hatches[c]})` })] : [])],
      c ? `class ${classes[c].letter}${classes[c].name && classes[c].name !== `class ${classes[c].letter}` ? `, ${classes[c].name}` : ''}` : plain));
  });
  items.push(legendItem([drawn('path', { class: 'held', d: 'M8 5h7v7h-7z' })], 'needs tension'), legendItem([drawn('circle', { class: 'hung', cx: 12, cy: 8.5, r: 2.6 })], 'may hang in suspension'));
  marks.forEach((name, kind) => items.push(legendItem([drawn('path', { class: `mark mark-${kind}`, d: markAt[kind](12, 9) })], name)));
  byId('legend').replaceChildren(...items);
}

// The drawings on paper, in CSS pixels: A4 across, see the style for print.
const paper = { width: 1036, map: 470, strip: 30 + laneList.reduce((sum, [, height]) => sum + height, 0) };

// onPaper draws map and strip anew where their room or the paper asks for it; drawRows(true) draws every row of the table.
function onPaper(drawRows) {
  new ResizeObserver(() => { drawMap(); drawStrip(); }).observe(byId('drawing'));
  window.addEventListener('beforeprint', () => {
    const { scale, width, height } = map;
    setScale(scale * Math.min(paper.width / width, paper.map / height));
    drawRows(true);
    drawMapNow(paper.width, paper.map);
    drawStripNow(paper.width, paper.strip);
    map.scale = scale;
  });
  window.addEventListener('afterprint', () => { drawRows(); drawMap(); drawStrip(); });
}
