// The list: everything in the picture as plain HTML, from a station down to a weld. What is shut is filled in when it is opened, sought
// or picked, and the rest while the browser has nothing else to do.
import { all, number, one, put } from '/static/page.js'

const none = id => id || 'none'

let plan
let byFlange // the welds of each flange, as places in the plan's list
let names // of panels and joints
let about // what findings say of a weld or a flange
let waiting // flanges whose welds are not in the list yet

// draw makes the list, and leaves open what was open.
export const draw = (host, now) => {
  const was = new Set(all('details[open]', host).map(d => d.dataset.key))
  const fresh = !host.childElementCount
  plan = now
  index()
  waiting = new Set()
  const list = document.createDocumentFragment()
  const joints = grouped(plan.joints, j => j.station)
  for (const s of plan.stations) {
    const box = details(list, `station ${s.id}`, `${s.name || s.id}: ${s.welds} welds, ${number(s.minutes, 0)} min`)
    for (const j of joints.get(s.id) || []) {
      const inner = details(box, `joint ${j.id}`, `${j.name || j.id}: ${j.welds} welds`)
      for (const id of j.flanges) flange(inner, id)
    }
    things(box, s)
  }
  for (const d of all('details', list)) d.open = fresh ? d.dataset.key.startsWith('station ') : was.has(d.dataset.key)
  host.replaceChildren(list)
  for (const d of all('details[data-flange][open]', host)) fill(d)
  idle(host)
}

const grouped = (list, by) => {
  const out = new Map()
  for (const x of list) out.set(by(x), [...out.get(by(x)) || [], x])
  return out
}

const index = () => {
  byFlange = new Map()
  plan.welds.forEach((w, i) => { if (!byFlange.has(w.flange)) byFlange.set(w.flange, []); byFlange.get(w.flange).push(i) })
  names = new Map([...plan.panels, ...plan.joints].map(x => [x.id, x.name]))
  about = new Map()
  const say = (key, f) => about.set(key, `${about.get(key) || ''} ${f.severity}`)
  for (const f of plan.findings) {
    if (f.weld) say(`${f.station} ${f.weld}`, f)
    else if (f.flange) say(f.flange, f)
  }
}

const details = (parent, key, words) => {
  const d = put('details', undefined, '', parent)
  d.dataset.key = key
  put('summary', words, '', d)
  return d
}

const flange = (parent, id) => {
  const f = plan.flanges.find(x => x.id === id)
  if (!f) return
  const d = details(parent, `flange ${id}`, `${f.id}: ${f.panels.join(' + ')}, ${number(f.length, 0)} mm long, ${number(f.wide)} wide`)
  d.dataset.flange = id
  waiting.add(id)
  d.addEventListener('toggle', () => { if (d.open) fill(d) })
}

// fill puts a flange's runs and welds into the list.
const fill = d => {
  const id = d.dataset.flange
  if (!waiting.delete(id)) return
  const own = byFlange.get(id) || []
  for (const r of plan.runs.filter(r => r.flange === id)) {
    const line = put('div', undefined, '', d)
    put('span', `run ${r.id}, ${r.step}, gun ${none(r.gun)}, setting ${none(r.setting)}:`, '', line)
    for (const i of own) {
      const w = plan.welds[i]
      if (w.run !== r.id) continue
      line.append(' ')
      const b = put('button', w.number, '', line)
      b.type = 'button'
      b.setAttribute('aria-pressed', 'false')
      b.setAttribute('aria-label', `weld ${w.number}`)
      Object.assign(b.dataset, { flange: id, weld: i, number: w.number })
    }
  }
}

// idle fills in what is shut, a little at a time.
const later = window.requestIdleCallback || (f => setTimeout(() => f({ timeRemaining: () => 8 }), 50))
let filling = 0
const idle = host => {
  const mine = ++filling
  const rest = all('details[data-flange]', host).filter(d => waiting.has(d.dataset.flange))
  const step = left => {
    if (mine !== filling) return
    do { const d = rest.shift(); if (!d) return; fill(d) } while (left.timeRemaining() > 2)
    later(step)
  }
  later(step)
}

// things are what stands at a station and is no weld.
const things = (parent, s) => {
  const list = [
    ...s.clamps.map(c => [c.id, c.at, `clamp ${c.id}: keeps welds ${number(c.radius, 0)} mm off`]),
    ...s.dowels.map(d => [d.id, d.at, `dowel ${d.id}`]),
    ...s.hold_points.map(h => [h.id, h.at, `hold point ${h.id}: ${h.text}${wanted(h)}`]),
    ...plan.seams.filter(r => r.station === s.id && r.path.length)
      .map(r => [r.id, r.path[r.path.length >> 1], `roller seam ${r.id}: ${number(r.length, 0)} mm, roller ${none(r.roller)}, setting ${none(r.setting)}`])
  ]
  if (!list.length) return
  const d = details(parent, `things ${s.id}`, `Clamps, dowels, hold points, seams: ${list.length}`)
  for (const [id, at, words] of list) {
    const b = put('button', words, '', put('div', undefined, '', d))
    b.type = 'button'
    Object.assign(b.dataset, { at: at.join(','), thing: id })
  }
}

const wanted = h => h.value ? `, ${h.value} ± ${h.tolerance} mm` : h.tolerance ? `, within ${h.tolerance} mm` : ''

// words are those that a weld is found by: numbers, names, and the severity of findings about it or its flange.
const words = w => (w.words ??= ['weld', w.number, w.station, w.joint, names.get(w.joint), w.flange, w.step, w.gun, w.tip, w.setting,
  ...w.sheets.flatMap(id => [id, names.get(id)]), about.get(`${w.station} ${w.number}`), about.get(w.flange)].join(' ').toLowerCase())

// search leaves those welds in sight that have all words, and says how many they are: "weld 194", "scuttle", "broken". Undefined
// where nothing is sought.
export const search = (host, sought) => {
  const exact = sought.length === 2 && sought[0] === 'weld' && /^\d+$/.test(sought[1])
  let hits = 0
  for (const d of all('details[data-flange]', host)) {
    const found = new Set((byFlange.get(d.dataset.flange) || []).filter(i => {
      const w = plan.welds[i]
      return exact ? String(w.number) === sought[1] : sought.every(word => words(w).includes(word))
    }))
    hits += found.size
    if (sought.length && found.size) fill(d)
    for (const b of all('button[data-weld]', d)) b.classList.toggle('hidden', !found.has(Number(b.dataset.weld)))
    d.classList.toggle('hidden', sought.length > 0 && !found.size)
  }
  for (const d of all('details:not([data-flange])', host).reverse()) {
    const any = all('details[data-flange]', d).some(x => !x.classList.contains('hidden'))
    d.classList.toggle('hidden', sought.length > 0 && !any)
    if (sought.length && any) d.open = true
  }
  return sought.length ? hits : undefined
}

// pick opens the list at a flange, and marks a weld of it where one is picked.
export const pick = (host, flange, weld) => {
  for (const b of all('button[aria-pressed=true]', host)) b.setAttribute('aria-pressed', 'false')
  for (const s of all('summary[data-on]', host)) s.removeAttribute('data-on')
  const box = one(`details[data-flange="${CSS.escape(flange)}"]`, host)
  if (!box) return
  fill(box)
  for (let d = box; d; d = d.parentElement.closest('details')) d.open = true
  one('summary', box).setAttribute('data-on', '')
  if (weld === undefined) return
  const b = one(`button[data-weld="${weld}"]`, box)
  b?.setAttribute('aria-pressed', 'true')
  b?.scrollIntoView({ block: 'nearest' })
}
