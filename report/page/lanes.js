// The lanes of the strip of an audit.

const laneList = [['marks', 26, 'exceptions'], ['site', 20, 'zone class'], ['turn', 46, 'deviation'], ['creep', 86, 'creepage'], ['ground', 58, 'ground']];

function drawLanes({ visible, before, after, all, at, words }) {
  drawSites(before, after, at.site, words);
  drawTurns(visible, at.turn, words);
  drawCreepage(visible, at.creep, words);
  drawGround(all, visible, at.ground, words);
  drawStripMarks(visible, at.marks);
}

// drawTurns draws deviations, up for right and down for left, heavy beyond the limit.
function drawTurns(visible, [top, bottom], words) {
  const middle = (top + bottom) / 2;
  let turn = `M${gutter} ${middle}H${strip.width - rightEdge}`, over = '';
  for (const s of visible) {
    const x = round(stripX(structures.chainage[s])), deviation = structures.deviation[s];
    if (known(deviation) && Math.abs(deviation) >= 0.3) {
      const tall = Math.sign(deviation) * Math.max(2, Math.min(1, Math.sqrt(Math.abs(deviation) / 90)) * 18);
      if (Math.abs(deviation) > structures.limit[s]) over += `M${x} ${middle}V${round(middle - tall)}`; else turn += `M${x} ${middle}V${round(middle - tall)}`;
    }
  }
  strip.lanes.turn.setAttribute('d', turn);
  strip.lanes.over.setAttribute('d', over);
  words.push(drawn('text', { class: 'faint end', x: gutter - 8, y: top + 13 }, 'right'), drawn('text', { class: 'faint end', x: gutter - 8, y: bottom - 5 }, 'left'));
}

// drawCreepage draws what each structure needs and what its worst string has.
function drawCreepage(visible, lane, words) {
  const scale = hasAndNeeds(visible, lane, words, { has: structures.installed, needs: structures.required, measure: 'mm' });
  if (!scale) {
    const why = visible.length ? text(structures.why[visible[0]]) : '';
    words.push(drawn('text', { class: 'faint', x: gutter + 10, y: (lane[0] + lane[1]) / 2 + 4 }, why ? `not assessed: ${why}` : 'not assessed'));
  }
  drawHasAndNeeds([scale]);
}
