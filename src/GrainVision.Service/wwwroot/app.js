'use strict';
const $ = id => document.getElementById(id);
const marks = { outline: [], points: [], mode: null };
let bitmap = null;

const number = (v, digits) => v === null || v === undefined ? '–' : Number(v).toFixed(digits);
const interval = (m, unit, digits = 1) => `${number(m.value, digits)} ${unit} (${number(m.low, digits)} to ${number(m.high, digits)})`;

function element(tag, text, attributes = {}) {
  const e = document.createElement(tag);
  if (text) e.textContent = text;
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
  return e;
}

async function loadBooks() {
  const answer = await fetch('/v1/rule-books');
  if (!answer.ok) return;
  for (const book of await answer.json()) $('book').append(element('option', book.title, { value: book.id }));
}

function showFields() {
  for (const kind of ['points', 'outlineSize', 'pitch']) $(`${kind}-fields`).hidden = $('scale').value !== kind;
  $('mark-points').hidden = $('scale').value !== 'points';
}

async function choose() {
  const file = $('photo').files[0];
  marks.outline = []; marks.points = [];
  if (!file) return;
  try {
    // from-image: the picture is shown upright, as the service sees it.
    bitmap = await createImageBitmap(file, { imageOrientation: 'from-image' });
    $('stage').hidden = false;
    draw();
  } catch {
    $('stage').hidden = true;
    bitmap = null;
  }
}

function draw() {
  if (!bitmap) return;
  const canvas = $('preview'), k = Math.min(1, 1600 / bitmap.width);
  canvas.width = Math.round(bitmap.width * k);
  canvas.height = Math.round(bitmap.height * k);
  const g = canvas.getContext('2d');
  g.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  const dot = Math.max(6, canvas.width / 90);
  g.font = `bold ${Math.round(2.6 * dot)}px sans-serif`;
  const put = (list, colour, names) => list.forEach(([x, y], i) => {
    g.beginPath(); g.arc(x * k, y * k, dot, 0, 7); g.lineWidth = dot / 1.2; g.strokeStyle = '#000'; g.stroke();
    g.lineWidth = dot / 2.4; g.strokeStyle = colour; g.stroke();
    g.lineWidth = 5; g.strokeStyle = '#000'; g.strokeText(names[i], x * k + dot, y * k - dot); g.fillStyle = colour; g.fillText(names[i], x * k + dot, y * k - dot);
  });
  if (marks.outline.length > 1) {
    g.beginPath(); marks.outline.forEach(([x, y], i) => i ? g.lineTo(x * k, y * k) : g.moveTo(x * k, y * k));
    if (marks.outline.length === 4) g.closePath();
    g.lineWidth = dot / 2; g.strokeStyle = '#ffd166'; g.stroke();
  }
  put(marks.outline, '#ffd166', ['1', '2', '3', '4']);
  put(marks.points, '#9ecbff', ['A', 'B']);
  const wanted = marks.mode === 'outline' ? `Corner ${marks.outline.length + 1} of 4` : marks.mode === 'points' ? `Point ${'AB'[marks.points.length] || 'B'}` : '';
  $('hint').textContent = wanted && `${wanted}: tap it on the photo.`;
  $('outline-text').value = marks.outline.map(p => p.map(v => Math.round(v)).join(',')).join(' ');
  $('points-text').value = marks.points.map(p => p.map(v => Math.round(v)).join(',')).join(' ');
}

function mark(event) {
  if (!marks.mode || !bitmap) return;
  const box = $('preview').getBoundingClientRect();
  const list = marks[marks.mode];
  list.push([(event.clientX - box.left) / box.width * bitmap.width - 0.5, (event.clientY - box.top) / box.height * bitmap.height - 0.5]);
  if (list.length >= (marks.mode === 'outline' ? 4 : 2)) marks.mode = null;
  draw();
}

const readPoints = text => (text.match(/-?[\d.]+\s*,\s*-?[\d.]+/g) || []).map(p => p.split(',').map(Number));

function request() {
  const r = { view: document.querySelector('[name=view]:checked').value };
  if ($('species').value) r.species = $('species').value;
  if ($('book').value) r.ruleBook = $('book').value;
  const outline = readPoints($('outline-text').value), points = readPoints($('points-text').value);
  if (outline.length) r.outline = outline;
  const kind = $('scale').value;
  if (kind === 'rule-mm' || kind === 'rule-inch') r.scale = { kind: 'rule', unit: kind.slice(5) };
  else if (kind === 'points') r.scale = { kind, a: points[0] || [], b: points[1] || [], distanceMm: Number($('distance').value) };
  else if (kind === 'outlineSize') r.scale = { kind, firstSideMm: Number($('first').value), secondSideMm: Number($('second').value) };
  else if (kind === 'pitch') r.scale = { kind, pixelsPerMm: Number($('ppm').value) };
  else r.scale = { kind };
  return r;
}

function rows(m) {
  const list = [];
  if (m.rings) {
    list.push(['Rings per inch', `${interval(m.rings.perInch, '')}, ${m.rings.count} rings counted`]);
    list.push(['Worst inch', interval(m.rings.worstInch, 'rings/in')]);
    list.push(['Mean ring width', interval(m.rings.meanWidthMm, 'mm', 2)]);
    list.push(['Latewood share', interval({ value: 100 * m.rings.latewoodShare.value, low: 100 * m.rings.latewoodShare.low, high: 100 * m.rings.latewoodShare.high }, '%', 0)]);
  }
  if (m.ringAngle) {
    list.push(['Ring angle', `${interval(m.ringAngle.degrees, '°')}, least ${number(m.ringAngle.least, 0)}°, greatest ${number(m.ringAngle.greatest, 0)}°`]);
    list.push(['Cut', m.ringAngle.cut]);
  }
  if (m.grain) {
    const n = m.grain.oneIn, say = v => v === null || v === undefined ? 'flat' : `1:${number(v, 1)}`;
    list.push(['Slope of grain', `${say(n.value)} (${say(n.low)} to ${say(n.high)}), from ${m.grain.basis === 'ringLines' ? 'ring lines' : 'fibre streaks'}`]);
  }
  list.push(['Blemishes', m.blemishes.length ? m.blemishes.map((b, i) => `${i + 1}. ${b.kind} (${Math.round(100 * b.probability)} %), ${number(b.diameterMm.value, 1)} mm`).join('; ') : 'none found']);
  list.push(['Scale', `${interval(m.scale.pixelsPerMm, 'px/mm', 2)} from ${m.scale.kind}${m.scale.unit ? `, ${m.scale.unit}` : ''}`]);
  return list;
}

function bullets(title, items) {
  if (!items.length) return [];
  const ul = element('ul');
  items.forEach(t => ul.append(element('li', t)));
  return [element('h2', title), ul];
}

function show(m) {
  const answer = $('answer');
  answer.replaceChildren();
  if (m.verdict) {
    const box = element('div', '', { class: `verdict ${m.verdict.outcome}` });
    box.append(element('strong', m.verdict.outcome.toUpperCase()), element('span', `${m.verdict.scope}, for ${m.verdict.use}`));
    answer.append(box, ...bullets('Why', m.verdict.reasons.map(r => `${r.outcome}: ${r.text}`)));
  }
  answer.append(element('img', '', { src: m.picture, alt: m.pictureAltText || 'Annotated picture' }));
  const table = element('table');
  table.append(element('caption', 'In brackets: the 95 % interval'));
  rows(m).forEach(([name, value]) => {
    const tr = element('tr');
    tr.append(element('th', name, { scope: 'row' }), element('td', value));
    table.append(tr);
  });
  answer.append(table,
    ...bullets('Cannot be said from this photo', m.cannotSay.map(c => `${c.what}: ${c.why} By hand: ${c.handCheck}`)),
    ...bullets('Warnings', m.warnings),
    ...bullets('Still to do by hand', m.verdict ? m.verdict.handChecks : []),
    ...bullets('Cautions', m.verdict ? m.verdict.cautions : ['Supports a qualified person; not an airworthiness approval.']));
  answer.append(element('p', `Record ${m.id}`));
  answer.focus();
}

function problem(p, status) {
  const box = element('div', '', { class: 'verdict problem', role: 'alert' });
  box.append(element('strong', 'Not measured'), element('p', p.detail || `The service answered ${status}.`), element('p', p.advice || ''));
  $('answer').replaceChildren(box);
  $('answer').focus();
}

function send(event) {
  event.preventDefault();
  const file = $('photo').files[0];
  if (!file) return;
  const form = new FormData();
  form.append('photo', file);
  form.append('request', JSON.stringify(request()));
  const call = new XMLHttpRequest();
  call.open('POST', '/v1/measurements');
  $('go').disabled = true;
  call.upload.onprogress = e => { $('answer').textContent = e.loaded < e.total ? `Sending ${Math.round(100 * e.loaded / e.total)} %` : 'Measuring …'; };
  call.onloadend = () => {
    $('go').disabled = false;
    let body = {};
    try { body = JSON.parse(call.responseText); } catch { body = { detail: 'The service could not be reached.', advice: 'Check the connection and try again.' }; }
    if (call.status === 200) show(body); else problem(body, call.status);
  };
  call.send(form);
}

$('photo').addEventListener('change', choose);
$('scale').addEventListener('change', showFields);
$('preview').addEventListener('click', mark);
$('mark-outline').addEventListener('click', () => { marks.outline = []; marks.mode = 'outline'; draw(); });
$('mark-points').addEventListener('click', () => { marks.points = []; marks.mode = 'points'; draw(); });
$('clear').addEventListener('click', () => { marks.outline = []; marks.points = []; marks.mode = null; draw(); });
$('form').addEventListener('submit', send);
showFields();
loadBooks();
