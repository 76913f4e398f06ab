'use strict';
const $ = id => document.getElementById(id);
const marks = { outline: [], points: [], mode: null, zoom: null };
let bitmap = null;

const number = (v, digits) => v === null || v === undefined ? '–' : Number(v).toFixed(digits);
// The ends are rounded outwards, as on the picture: an interval must not shrink in print.
const down = (v, digits) => Math.floor(v * 10 ** digits + 1e-9) / 10 ** digits, up = (v, digits) => Math.ceil(v * 10 ** digits - 1e-9) / 10 ** digits;
const interval = (m, unit, digits = 1) => `${number(m.value, digits)}${unit} (${number(down(m.low, digits), digits)} to ${number(up(m.high, digits), digits)})`;

/** A code as words: ringAngle, pitch-pocket. */
const words = code => code.replace(/([A-Z])/g, ' $1').replace(/-/g, ' ').toLowerCase();

/** A slope (tangent with its interval) as the trade writes it: whole N, rounded down, so that no slope looks straighter than it is. */
function slope(m) {
  const ends = [Math.abs(m.low), Math.abs(m.high)], crosses = m.low <= 0 && m.high >= 0;
  const [value, steep, flat] = [Math.abs(m.value), Math.max(...ends), crosses ? 0 : Math.min(...ends)].map(t => t ? 1 / t : Infinity);
  const say = n => `1:${Math.floor(n + 1e-6)}`;
  if (value > 60) return steep > 60 ? 'straighter than 1:60' : `straighter than 1:60 (${say(steep)} at worst)`;
  return flat > 60 ? `${say(value)} (${say(steep)} or straighter)` : `${say(value)} (${say(steep)} to ${say(flat)})`;
}

function element(tag, text, attributes = {}) {
  const e = document.createElement(tag);
  if (text) e.textContent = text;
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
  return e;
}

/** Header with the API key, where one was typed; kept for this tab only. */
const keyHeader = () => $('key').value ? { 'X-Api-Key': $('key').value } : {};

async function loadBooks() {
  const answer = await fetch('/v1/rule-books', { headers: keyHeader() });
  if (answer.status === 401) $('key-field').hidden = false;
  if (!answer.ok) return;
  $('book').replaceChildren(element('option', 'measure only', { value: '' }));
  for (const book of await answer.json()) $('book').append(element('option', book.title, { value: book.id }));
}

function showFields() {
  for (const kind of ['points', 'outlineSize', 'pitch']) {
    $(`${kind}-fields`).hidden = $('scale').value !== kind;
    // A hidden field must not stop the form.
    for (const field of $(`${kind}-fields`).querySelectorAll('input')) field.disabled = $('scale').value !== kind;
  }
  $('mark-points').hidden = $('scale').value !== 'points';
}

async function choose() {
  const file = $('photo').files[0];
  marks.outline = []; marks.points = []; marks.mode = marks.zoom = null;
  $('no-preview').hidden = true;
  if (!file) return;
  try {
    // from-image: the picture is shown upright, as the service sees it.
    bitmap = await createImageBitmap(file, { imageOrientation: 'from-image' });
    $('stage').hidden = false;
    draw();
  } catch {
    $('stage').hidden = true;
    $('no-preview').hidden = false;
    bitmap = null;
  }
}

/** The part of the photo on the canvas: all of it, or the neighbourhood of the first tap. */
function shown() {
  if (!marks.zoom) return { x: 0, y: 0, width: bitmap.width, height: bitmap.height };
  // An eighth of the photo at a time: a fingertip is then good to a few pixels, which the scale rests on.
  const width = bitmap.width / 8, height = bitmap.height / 8;
  return { x: marks.zoom[0] - width / 2, y: marks.zoom[1] - height / 2, width, height };
}

function draw() {
  if (!bitmap) return;
  const canvas = $('preview'), k = Math.min(1, 1600 / bitmap.width), part = shown();
  canvas.width = Math.round(bitmap.width * k);
  canvas.height = Math.round(bitmap.height * k);
  const g = canvas.getContext('2d'), scale = canvas.width / part.width;
  const at = ([x, y]) => [(x + 0.5 - part.x) * scale, (y + 0.5 - part.y) * scale];
  g.drawImage(bitmap, part.x, part.y, part.width, part.height, 0, 0, canvas.width, canvas.height);
  const dot = Math.max(6, canvas.width / 90);
  g.font = `bold ${Math.round(2.6 * dot)}px sans-serif`;
  const put = (list, colour, names) => list.forEach((p, i) => {
    const [x, y] = at(p);
    g.beginPath(); g.arc(x, y, dot, 0, 7); g.lineWidth = dot / 1.2; g.strokeStyle = '#000'; g.stroke();
    g.lineWidth = dot / 2.4; g.strokeStyle = colour; g.stroke();
    g.lineWidth = 5; g.strokeStyle = '#000'; g.strokeText(names[i], x + dot, y - dot); g.fillStyle = colour; g.fillText(names[i], x + dot, y - dot);
  });
  if (marks.outline.length > 1) {
    g.beginPath(); marks.outline.map(at).forEach(([x, y], i) => i ? g.lineTo(x, y) : g.moveTo(x, y));
    if (marks.outline.length === 4) g.closePath();
    g.lineWidth = dot / 2; g.strokeStyle = '#ffd166'; g.stroke();
  }
  put(marks.outline, '#ffd166', ['1', '2', '3', '4']);
  put(marks.points, '#9ecbff', ['A', 'B']);
  const wanted = marks.mode === 'outline' ? `corner ${marks.outline.length + 1} of 4` : marks.mode === 'points' ? `point ${'AB'[marks.points.length]}` : '';
  $('hint').textContent = wanted && (marks.zoom ? `Now tap exactly on ${wanted}.` : `Tap near ${wanted} to look closer.`);
  for (const kind of ['outline', 'points']) $(`mark-${kind}`).setAttribute('aria-pressed', marks.mode === kind);
}

/** Shows the marks as text, so that they can also be typed and corrected without a pointer. */
function writeMarks() {
  for (const kind of ['outline', 'points']) $(`${kind}-text`).value = marks[kind].map(p => p.map(v => Math.round(10 * v) / 10).join(',')).join(' ');
}

function startMarking(kind) {
  marks[kind] = [];
  marks.mode = kind;
  marks.zoom = null;
  writeMarks();
  draw();
  if (bitmap) $('stage').scrollIntoView({ block: 'start' });
}

/** First tap: look closer. Second tap: set the mark. */
function mark(event) {
  if (!marks.mode || !bitmap) return;
  const box = $('preview').getBoundingClientRect(), part = shown(), list = marks[marks.mode];
  const p = [part.x + (event.clientX - box.left) / box.width * part.width - 0.5, part.y + (event.clientY - box.top) / box.height * part.height - 0.5];
  if (marks.zoom) {
    list.push(p);
    marks.zoom = null;
    if (list.length === (marks.mode === 'outline' ? 4 : 2)) marks.mode = null;
  } else {
    marks.zoom = p;
  }
  writeMarks();
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
  if (kind === 'auto-mm') r.scale = { kind: 'auto', ruleUnit: 'mm' };
  else if (kind === 'rule-mm' || kind === 'rule-inch') r.scale = { kind: 'rule', unit: kind.slice(5) };
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
    list.push(['Worst inch', interval(m.rings.worstInch, ' rings/in')]);
    list.push(['Mean ring width', interval(m.rings.meanWidthMm, ' mm', 2)]);
    list.push(['Latewood share', interval({ value: 100 * m.rings.latewoodShare.value, low: 100 * m.rings.latewoodShare.low, high: 100 * m.rings.latewoodShare.high }, ' %', 0)]);
  }
  if (m.ringAngle) {
    list.push(['Ring angle', `${interval(m.ringAngle.degrees, '°')}, least ${number(m.ringAngle.least, 0)}°, greatest ${number(m.ringAngle.greatest, 0)}°`]);
    list.push(['Cut', m.ringAngle.cut]);
    const pith = m.ringAngle.pith;
    if (pith) list.push(['Pith', `${interval(pith.distanceMm, ' mm', 0)} from the middle${pith.boxed ? ', inside the section' : ''}`]);
  }
  if (m.grain) {
    list.push(['Slope of grain', `${slope(m.grain.slope)}, from ${m.grain.basis === 'ringLines' ? 'ring lines' : 'fibre streaks'}`]);
    list.push(['Steepest slope', slope(m.grain.worstWindow)]);
  }
  list.push(['Blemishes', m.blemishes.length ? m.blemishes.map((b, i) => `${i + 1}. ${words(b.kind)}${b.probability < 0.95 ? '?' : ''}, ${number(b.diameterMm.value, 1)} mm`).join('; ') : 'none found']);
  if (m.size) list.push(['Size', `${number(m.size.firstSideMm.value, 1)} x ${number(m.size.secondSideMm.value, 1)} mm`]);
  list.push(['Scale', `${interval(m.scale.pixelsPerMm, ' px/mm', 2)} from ${words(m.scale.kind)}${m.scale.unit ? `, ${m.scale.unit}${m.scale.unitBasis === 'assumed' ? ' assumed' : ''}` : ''}`]);
  return list;
}

function bullets(title, items) {
  if (!items.length) return [];
  const ul = element('ul');
  items.forEach(t => ul.append(element('li', t)));
  return [element('h2', title), ul];
}

function folded(title, items, open) {
  const details = element('details');
  details.open = open;
  details.append(element('summary', title), bullets(title, items)[1]);
  return details;
}

async function showPicture(img, link, address) {
  if (!$('key').value) { img.src = address; return; }
  const answer = await fetch(address, { headers: keyHeader() }); // an img cannot send the key by itself
  if (answer.ok) img.src = link.href = URL.createObjectURL(await answer.blob());
}

function show(m) {
  const answer = $('answer');
  answer.replaceChildren();
  if (m.verdict) {
    const box = element('div', '', { class: `verdict ${m.verdict.outcome}` });
    box.append(element('strong', m.verdict.outcome.toUpperCase()), element('span', `${m.verdict.scope}, for ${m.verdict.use}`));
    const against = m.verdict.reasons.filter(r => r.outcome !== 'accept'), met = m.verdict.reasons.filter(r => r.outcome === 'accept');
    const say = r => `${r.outcome}: ${r.text} [${r.source}]`;
    answer.append(box, ...bullets('Why', against.map(say)));
    if (met.length) answer.append(folded(`${met.length} limits met`, met.map(say), against.length === 0));
  }
  const picture = element('img', '', { alt: m.pictureAltText || 'Annotated picture' });
  const whole = element('a', '', { href: m.picture, target: '_blank', rel: 'noopener' });
  whole.append(picture);
  answer.append(whole);
  showPicture(picture, whole, m.picture);
  const table = element('table');
  table.append(element('caption', 'In brackets: the 95 % interval'));
  rows(m).forEach(([name, value]) => {
    const tr = element('tr');
    tr.append(element('th', name, { scope: 'row' }), element('td', value));
    table.append(tr);
  });
  answer.append(table,
    ...bullets('Cannot be said from this photo', m.cannotSay.map(c => `${words(c.what)}: ${c.why} By hand: ${c.handCheck}`)),
    ...bullets('Warnings', m.warnings.map(w => w.message)),
    ...bullets('Still to do by hand', m.verdict ? m.verdict.handChecks : []),
    ...bullets('Cautions', m.verdict ? m.verdict.cautions : [document.getElementById('caution').textContent]));
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
  form.append('request', JSON.stringify(request()));
  form.append('photo', file); // as it is: shrinking it here would destroy the rings
  const call = new XMLHttpRequest();
  call.open('POST', '/v1/measurements');
  for (const [name, value] of Object.entries(keyHeader())) call.setRequestHeader(name, value);
  $('go').disabled = true;
  $('answer').replaceChildren();
  $('status').textContent = 'Sending the photo …';
  $('progress').hidden = false;
  call.upload.onprogress = e => { $('progress').value = e.total ? e.loaded / e.total : 0; };
  call.upload.onload = () => { $('status').textContent = 'Measuring …'; $('progress').removeAttribute('value'); };
  call.onloadend = () => {
    $('go').disabled = false;
    $('status').textContent = '';
    $('progress').hidden = true;
    $('progress').value = 0;
    let body;
    try { body = JSON.parse(call.responseText); } catch { body = { detail: 'The service could not be reached.', advice: 'Check the connection and try again.' }; }
    if (call.status === 401) $('key-field').hidden = false;
    if (call.status === 200) show(body); else problem(body, call.status);
  };
  call.send(form);
}

$('photo').addEventListener('change', () => { choose(); writeMarks(); });
$('scale').addEventListener('change', showFields);
$('preview').addEventListener('click', mark);
$('key').addEventListener('change', loadBooks);
for (const kind of ['outline', 'points']) {
  $(`mark-${kind}`).addEventListener('click', () => startMarking(kind));
  $(`${kind}-text`).addEventListener('input', e => { marks[kind] = readPoints(e.target.value).slice(0, kind === 'outline' ? 4 : 2); marks.mode = marks.zoom = null; draw(); });
}
$('clear').addEventListener('click', () => { marks.outline = []; marks.points = []; marks.mode = marks.zoom = null; writeMarks(); draw(); });
$('form').addEventListener('submit', send);
showFields();
loadBooks();
