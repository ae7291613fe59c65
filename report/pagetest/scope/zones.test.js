'use strict';

const { test } = require('node:test');
const assert = require('node:assert/strict');
const { open, example } = require('../page.js');

const data = example();
const page = open({ ...data, scenarios: [], curves: [] });

test('the map draws the zones that it is given, and the legend lists their classes and says whose they are', () => {
  page.run('takeZones([{ ...zones[1], class: 0 }, { ...zones[0], class: 2 }, { ...zones[0], class: 2 }])');
  assert.deepEqual(page.plain('zoneRuns.map((run) => [run.class, run.zones.length])'), [[0, 1], [2, 2]]);
  page.run('structures.class.fill(0); legend([], "Zones as the scenario has them:")');
  const words = page.by('legend').children.map((item) => item.textContent);
  assert.equal(words[0], 'Zones as the scenario has them:');
  assert.deepEqual(words.filter((w) => w.startsWith('class ')).map((w) => w.slice(0, 7)), [`class ${page.run('classes[2].letter')}`]);
  page.run('takeZones(zones)');
  assert.deepEqual(page.plain('drawnZones.map((z) => z.class)'), data.zones.map((z) => z.class));
});
