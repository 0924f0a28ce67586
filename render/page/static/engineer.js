import { all, get, head, json, number, one, picture, put, row } from '/static/page.js'
import { bars, clampAt, fill, groups, keepOut, middle, nearestOn, outline, place, pulled, single, words } from '/static/edit.js'
import * as list from '/static/list.js'
import { listen } from '/static/pair.js'
import { fetchParts } from '/static/plan.js'
import { describe, keep as keepAs, show } from '/static/variants.js'

let plan, viewer, picked
let pictured // settled once the picture is drawn, or is not to be had
let sets = new Map() // of welds that can be pointed out
let from // the first place of a measurement
let tools // guns and tips of the shell file, once a gun was asked for
let saved = { set: [], version: '' } // the changes file as the server has it
const done = [] // sets of changes before this one, for undo
const undone = []

const back = e => { one('#answer').textContent = e.message }

// pick shows a flange, and a weld of it, in list, picture and graph alike.
const pick = async (flange, weld) => {
  picked = { flange, weld }
  if (one('#only').value === PICKED) viewer?.show(keep())
  list.pick(one('#list'), flange, weld)
  const own = plan.welds.map((w, i) => [w, i]).filter(([w]) => w.flange === flange)
  viewer?.mark(weld !== undefined ? [weld] : own.map(([, i]) => i))
  const joint = plan.joints.find(j => j.flanges.includes(flange))
  form(joint, flange, weld)
  const r = await get(`/api/graph.svg?flange=${encodeURIComponent(flange)}&wide=${Math.max(300, one('#graph').clientWidth - 32)}`)
  one('#graph').replaceChildren(new DOMParser().parseFromString(await r.text(), 'image/svg+xml').documentElement)
  const f = flangeOf(flange)
  pulled(one('#graph'), f, {
    stretch: (a, b) => {
      one('#keep-out').elements.from.value = a.toFixed(1)
      one('#keep-out').elements.to.value = b.toFixed(1)
      one('#answer').textContent = `Keep welds out from ${number(a)} to ${number(b)} mm: plan again with that.`
    },
    place: at => { one('#single').elements.at.value = at.toFixed(1) }
  })
  gun().catch(back)
}

const flangeOf = id => plan.flanges.find(f => f.id === id)

// gun stands at the picked weld in the pose that the plan has found for it; thin outlines are the poses that are blocked.
const gun = async () => {
  const w = picked?.weld === undefined ? null : plan.welds[picked.weld]
  const on = one('#gun').checked && w
  one('#guns').hidden = !on
  if (!on) { viewer?.pose([]); viewer?.outlines([]); return }
  tools ??= await readTools()
  const stands = w.gun && !w.unreached
  const draw = lean => viewer?.pose(stands ? bars(plan, w, w.gun, w.tip, w.turn, ...tools, lean) : [], w)
  if (!w.tilt) draw()
  one('#guns-said').textContent = stands ? `Gun ${w.gun}, tip ${w.tip} at weld ${w.number}: turned by ${number(w.turn, 0)}°, leaning ${number(w.tilt, 0)}°, ` +
    `${number(w.clearance)} mm of clearance. Drawn of round bars; thin outlines are poses that are blocked. 90° is square to the weld line.`
    : `No gun at hand reaches weld ${w.number}. Thin outlines are poses that are blocked.`
  const asked = picked.weld
  const list = await json(`/api/poses?weld=${asked}`)
  if (picked?.weld !== asked || !one('#gun').checked) return
  if (w.tilt) draw(list.find(t => t.chosen)?.leans?.find(l => l.chosen))
  showPoses(w, list)
}

const showPoses = (w, list) => {
  const host = one('#guns-list')
  host.replaceChildren()
  const drawn = (t, a, lean) => outline(bars(plan, w, t.gun, t.tip, middle(a), ...tools, lean))
  const arcsOf = (t, of, parent, lean) => {
    for (const a of of.free) put('p', `free from ${words(a)}`.replace('from all', 'all'), '', parent)
    for (const a of of.blocked) {
      const by = a.off ? `stands at ${words(a)}, but ${a.panel || 'what stands there'} keeps it from being drawn back` : `blocked at ${words(a)} by ${a.panel || 'the panels'}`
      const b = put('button', by.replace('at all round', 'all round'), 'plain', put('p', undefined, '', parent))
      b.type = 'button'
      b.addEventListener('click', () => viewer?.outlines([drawn(t, a, lean)]))
    }
    parent.addEventListener('toggle', e => { if (e.target === parent && parent.open) viewer?.outlines(of.blocked.map(a => drawn(t, a, lean))) })
  }
  for (const t of list) {
    const leans = t.leans || []
    const stands = t.free.length ? 'would stand there' : leans.some(l => l.free.length) ? 'would stand there leaning' : 'blocked all round'
    const d = put('details', undefined, '', host)
    d.open = t.chosen || list.length === 1
    put('summary', `gun ${t.gun}, tip ${t.tip}: ${t.chosen ? 'as planned' : stands}${t.why ? `, but ${t.why}` : ''}`, '', d)
    arcsOf(t, t, d)
    for (const l of leans) {
      const inner = put('details', undefined, '', d)
      put('summary', `leaning ${number(l.tilt, 0)}° towards ${number(l.towards, 0)}°: ${l.chosen ? 'as planned' : l.free.length ? 'would stand there' : 'blocked all round'}`, '', inner)
      arcsOf(t, l, inner, l)
    }
  }
  const first = list.find(t => t.chosen) || list[0]
  if (first) viewer?.outlines(first.blocked.map(a => drawn(first, a))); else one('#guns-said').textContent += ' The station has no gun at hand.'
}

// measure takes two places of the picture: how far they are apart, and along the picked flange where both lie on its line.
const measure = (at, panel, sheet = panel) => {
  if (!one('#measure').checked) return false
  if (!from) {
    from = Object.assign([...at], { panel, sheet })
    one('#measured').textContent = 'and there?'
    return true
  }
  const apart = Math.hypot(...at.map((v, i) => v - from[i]))
  const each = at.map((v, i) => number(Math.abs(v - from[i]))).join(' · ')
  one('#measured').textContent = `${number(apart)} mm (${each}${along(from, at)})`
  viewer.ruler(from, at, [from.sheet, sheet])
  if (panel && panel === from.panel) alongSheet(panel, from, at, one('#measured').textContent).catch(back)
  from = null
  return true
}

const alongSheet = async (panel, a, b, said) => {
  const r = await json(`/api/along?panel=${encodeURIComponent(panel)}&from=${a.join(',')}&to=${b.join(',')}`)
  if (one('#measured').textContent === said) one('#measured').textContent = `${said}; ${r.mm === null ? 'no way' : `${number(r.mm)} mm`} along panel ${panel}`
}

// along is the way between two places along a weld line that both are near to.
const along = (a, b) => {
  for (const f of plan.flanges) {
    const [p, q] = [a, b].map(at => nearestOn(f, at))
    if (p.off > 12 || q.off > 12) continue
    const way = Math.abs(p.along - q.along)
    return `; ${number(f.closed ? Math.min(way, f.length - way) : way)} mm along ${f.id}`
  }
  return ''
}

const look = () => {
  const own = plan.welds.filter(w => w.flange === picked?.flange)
  viewer?.look(own.map(w => viewer.at(w).toArray()), own[Math.floor(own.length / 2)]?.axis)
}

// form fills in what of a joint may be changed.
const form = (joint, flange, weld) => {
  const f = one('#change')
  for (const own of all('#change, #single, #keep-out')) own.hidden = !joint
  if (!joint) return
  f.dataset.joint = joint.id
  const s = one('#single')
  s.elements.at.value = weld === undefined ? '' : Math.round(plan.welds[weld].along * 10) / 10
  one('#single-of').textContent = `Single welds by hand on ${flange}`
  const jig = plan.stations.find(x => x.id === joint.station)
  one('#clamp').hidden = !jig?.clamps?.length
  one('#clamp').elements.id.replaceChildren(...(jig?.clamps || []).map(c => new Option(c.id, c.id)))
  one('#of').textContent = `${joint.name || joint.id}: ${joint.welds} welds on ${number(joint.length, 0)} mm`
  const w = weld === undefined ? null : plan.welds[weld]
  one('#weld').textContent = w ? `Weld ${w.number} at ${w.station}: ${number(w.along)} mm along ${w.flange}, gun ${w.gun || 'none reaches'}` +
    `, tip ${w.tip || '-'}, setting ${w.setting || '-'}, run ${w.run}` : ''
}

const findings = () => {
  const host = one('#findings')
  host.replaceChildren()
  for (const f of plan.findings) {
    const p = put('p', `${f.rule}: ${f.where}. ${f.remedy}`, `finding ${f.severity}`, host)
    p.dataset.words = `${f.severity} ${f.rule} ${f.where}`.toLowerCase()
  }
  if (!plan.findings.length) put('p', 'None.', '', host)
}

// search keeps what holds all words: "weld 194", "scuttle", "broken".
const search = () => {
  const sought = one('#search').value.toLowerCase().split(/\s+/).filter(Boolean)
  const hits = list.search(one('#list'), sought)
  const exact = sought.length === 2 && sought[0] === 'weld' && /^\d+$/.test(sought[1])
  for (const p of all('#findings .finding')) p.hidden = sought.length > 0 && !exact && !sought.every(w => p.dataset.words.includes(w))
  one('#hits').textContent = hits === undefined ? '' : `${hits} welds`
}

// PICKED is what stands for the picked flange where a station is chosen to be shown alone; no id has a space.
const PICKED = 'the picked flange'

const keep = () => {
  const station = one('#only').value
  if (!station) return () => true
  if (station === PICKED) {
    const f = picked && flangeOf(picked.flange)
    return about => !f || (about.panel ? f.panels.includes(about.panel) : about.flange === f.id)
  }
  const present = new Set(plan.stations.find(s => s.id === station).present)
  return about => about.panel ? present.has(about.panel) : about.station ? about.station === station
    : about.flange ? plan.joints.some(j => j.station === station && j.flanges.includes(about.flange)) : true
}

const showing = () => {
  const p = plan
  return { welds: p.welds.length, broken: p.broken, doubt: p.doubt, minutes: p.cost.minutes_per_shell, cost: p.cost.cost_per_shell }
}

// fetchPlan reads what has changed of the plan and draws it: the picture first.
const fetchPlan = async () => {
  const { plan: now, came } = await fetchParts('engineer')
  plan = now
  viewer?.plan(plan)
  head(plan)
  given()
  await Promise.race([pictured, new Promise(resolve => setTimeout(resolve, 1500))]) // the list is not in its way
  list.draw(one('#list'), plan)
  if (one('#search').value) search()
  if (came.includes('findings')) findings()
  const only = one('#only')
  const was = only.value
  only.replaceChildren(new Option('all stations', ''), new Option(`${PICKED} alone`, PICKED), ...plan.stations.map(s => new Option(s.name || s.id, s.id)))
  only.value = was
  if (was) viewer?.show(keep())
  one('#total').textContent = `${plan.welds.length} welds`
  sets = groups(plan)
  several()
  fill(one('#point-out'), [...sets.keys()], 'nothing')
  if (one('#point-out').value) pointOut()
}

const pointOut = () => {
  const own = sets.get(one('#point-out').value)
  viewer?.choose(own || null)
  one('#answer').textContent = own ? `${one('#point-out').value}: ${own.length} welds, drawn larger` : describe(saved.set)
}

const keepVariant = async name => {
  const work = one('#work')
  work.hidden = false
  try {
    await keepAs(plan, name, saved.set)
    showVariants()
  } catch (e) {
    one('#answer').textContent = e.message
  } finally { work.hidden = true }
}

const showVariants = () => show(plan, set => send(() => set, true))

const differences = (before, after) => {
  const t = one('#differences')
  t.replaceChildren()
  row(t, ['', 'before', 'now'], 'th')
  const names = { welds: 'welds', broken: 'rules broken', doubt: 'in doubt', minutes: 'man-minutes a shell', cost: `${plan.cost.currency} a shell` }
  for (const k of Object.keys(names)) {
    row(t, [names[k], number(before[k], k === 'cost' ? 2 : k === 'minutes' ? 1 : 0), number(after[k], k === 'cost' ? 2 : k === 'minutes' ? 1 : 0)])
  }
}

// send hands a whole set of changes over, which next makes of the one before; one after the other, however fast they are asked for.
let sending = Promise.resolve()
const send = (next, remember) => { sending = sending.then(() => handOver(next, remember)); return sending }

// handOver has the server plan, which refuses when somebody else has saved meanwhile.
const handOver = async (next, remember) => {
  const set = next(saved.set)
  if (!set) return
  const before = showing()
  const work = one('#work')
  work.hidden = false
  one('#answer').textContent = 'Planning …'
  try {
    const r = await fetch('/api/changes', { method: 'POST', headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ set, version: saved.version }) })
    const text = await r.text()
    if (r.status === 409) {
      saved = JSON.parse(text)
      await fetchPlan()
      one('#answer').textContent = 'Somebody else has saved meanwhile; their changes are shown now: ' + describe(saved.set) + '. Make yours again on top.'
      return
    }
    if (!r.ok) throw new Error(text.trim())
    if (remember) { done.push(saved.set); undone.length = 0 }
    saved = JSON.parse(text)
    await fetchPlan()
    differences(before, showing())
    one('#answer').textContent = describe(saved.set)
    tools = undefined
    if (picked && flangeOf(picked.flange)) await pick(picked.flange)
  } catch (e) {
    one('#answer').textContent = e.message
  } finally {
    work.hidden = true
    one('#undo').disabled = !done.length
    one('#redo').disabled = !undone.length
  }
}

const moveClamp = (station, id, at) => { const c = clampAt(station, id, at); return change(c.key, c.to) }

const change = (key, to) => send(set => [...set.filter(s => s.key !== key), { key, to }], true)

// several lists the joints that may be changed together: those of the station that is shown.
const several = () => {
  const host = one('#many-joints')
  const was = new Set(all('input:checked', host).map(i => i.value))
  const station = one('#only').value
  host.replaceChildren()
  for (const j of plan.joints.filter(j => !station || (station === PICKED ? j.flanges.includes(picked?.flange) : j.station === station))) {
    const l = put('label', undefined, 'tick', host)
    const i = put('input', undefined, '', l)
    Object.assign(i, { type: 'checkbox', value: j.id, checked: was.has(j.id) })
    l.append(` ${j.name || j.id}: ${j.welds} welds`)
  }
}

// wordsOf are the words that a key of a joint knows, to choose from. A gun, tip or table that is left empty is what the program chooses.
const wordsOf = async key => {
  const known = { fill: ['middle-out', 'skips', 'through'], tack_order: ['quarters', 'middle-first', 'datum-first', 'through'],
    setting_table: ['optimum', 'class-a', 'class-b', 'class-c', 'aws-c1.1'], station: plan.stations.map(s => s.id) }
  if (key !== 'gun' && key !== 'tip') return known[key] || []
  tools ??= await readTools()
  return tools[key === 'gun' ? 0 : 1].map(x => x.id)
}

const offer = async form => {
  const { key, to } = one(form).elements
  to.required = !['gun', 'tip', 'setting_table'].includes(key.value)
  to.placeholder = to.required ? '' : 'as the program chooses'
  one('#many-words').replaceChildren(...(await wordsOf(key.value)).map(w => new Option(w, w)))
}

const readTools = () => Promise.all([json('/api/value?key=guns'), json('/api/value?key=tips')])

const changeMany = () => {
  const f = one('#many').elements
  const joints = all('#many-joints input:checked').map(i => i.value)
  if (!joints.length) { one('#answer').textContent = 'Tick the joints that are to be changed.'; return }
  const keys = joints.map(j => `joints.${j}.${f.key.value}`)
  const to = f.to.value
  send(set => [...set.filter(s => !keys.includes(s.key)), ...keys.map(key => ({ key, to }))], true)
}

let given // called once there is a plan
const planned = new Promise(resolve => { given = resolve })

const start = async () => {
  pictured = picture({
    begun: async v => { viewer = v; if (plan) v.plan(plan); await planned; v.look([]) },
    whole: v => v.look([]),
    weld: i => { if (!measure(plan.welds[i].position, undefined, viewer.sheetOf(plan.welds[i]))) pick(plan.welds[i].flange, i) },
    panel: (id, at) => { if (!measure(at, id)) one('#answer').textContent = `panel ${id}` },
    clamp: (station, id, at) => moveClamp(station, id, at),
    coarse: why => { one('#answer').textContent = `The finer panels cannot be had (${why}): these are drawn to half a millimetre.` },
    drawn: info => { one('#canvas-host').dataset.triangles = info.triangles }
  })
  const first = json('/api/changes')
  await fetchPlan()
  saved = await first
  one('#answer').textContent = describe(saved.set)
  one('#list').addEventListener('click', e => {
    const b = e.target.closest('button[data-weld]')
    if (b) { pick(b.dataset.flange, Number(b.dataset.weld)); look() }
    const thing = e.target.closest('button[data-at]')
    if (thing) viewer?.look([thing.dataset.at.split(',').map(Number)])
    const s = e.target.closest('summary')
    const d = s?.parentElement
    if (d?.dataset.flange) setTimeout(() => { if (d.open) pick(d.dataset.flange) }) // once the browser has opened or shut it
  })
  one('#search').addEventListener('input', search)
  one('#many').addEventListener('submit', e => { e.preventDefault(); changeMany() })
  for (const form of ['#many', '#change']) one(form).elements.key.addEventListener('change', () => offer(form).catch(back))
  one('#many-all').addEventListener('click', () => { for (const i of all('#many-joints input')) i.checked = true })
  one('#many-none').addEventListener('click', () => { for (const i of all('#many-joints input')) i.checked = false })
  one('#only').addEventListener('change', () => { several(); viewer?.show(keep()); const s = plan.stations.find(x => x.id === one('#only').value)
    if (one('#only').value === PICKED && picked) look()
    else viewer?.look(s ? plan.welds.filter(w => w.station === s.id).map(w => viewer.at(w).toArray()) : []) })
  one('#home').addEventListener('click', () => viewer?.look([]))
  one('#near').addEventListener('click', look)
  one('#apart').addEventListener('input', e => viewer?.apart(Number(e.target.value) / 100))
  let cutting
  const cut = () => {
    const axis = { x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1] }[one('#cut').value]
    const b = viewer?.box
    if (!b) return
    const k = 'xyz'.indexOf(one('#cut').value)
    const at = axis ? b.min.getComponent(k) + (b.max.getComponent(k) - b.min.getComponent(k)) * one('#cut-at').value / 100 : 0
    viewer.cut(axis, at)
    viewer.cutLines([])
    clearTimeout(cutting)
    if (!axis) { one('#measured').textContent = ''; return }
    one('#measured').textContent = `cut at ${one('#cut').value} ${number(at)} mm`
    cutting = setTimeout(() => json(`/api/cut?axis=${'xyz'[k]}&at=${at}`).then(lines => viewer.cutLines(lines)).catch(back), 150)
  }
  one('#cut').addEventListener('change', cut)
  one('#cut-at').addEventListener('input', cut)
  one('#change').addEventListener('submit', e => {
    e.preventDefault()
    const f = e.target
    change(`joints.${f.dataset.joint}.${f.elements.key.value}`, f.elements.to.value)
  })
  one('#single').elements.do.addEventListener('change', e => { one('#single').elements.to.disabled = e.target.value !== 'move' })
  one('#single').addEventListener('submit', e => {
    e.preventDefault()
    const f = e.target.elements
    single(one('#change').dataset.joint, picked.flange, f.do.value, Number(f.at.value), Number(f.to.value)).then(c => change(c.key, c.to)).catch(back)
  })
  one('#keep-out').addEventListener('submit', e => {
    e.preventDefault()
    const f = e.target.elements
    keepOut(one('#change').dataset.joint, flangeOf(picked.flange), Number(f.from.value), Number(f.to.value), f.why.value.trim())
      .then(c => change(c.key, c.to)).catch(back)
  })
  one('#clamp').addEventListener('submit', e => {
    e.preventDefault()
    const joint = plan.joints.find(j => j.id === one('#change').dataset.joint)
    moveClamp(joint.station, e.target.elements.id.value, place(flangeOf(picked.flange), Number(e.target.elements.along.value)))
  })
  one('#variant').addEventListener('submit', e => { e.preventDefault(); keepVariant(e.target.elements.name.value.trim()) })
  one('#point-out').addEventListener('change', pointOut)
  one('#gun').addEventListener('change', () => gun().catch(back))
  one('#measure').addEventListener('change', () => { from = null; one('#measured').textContent = one('#measure').checked ? 'from where?' : ''; viewer?.ruler() })
  listen()
  showVariants()
  one('#anything').addEventListener('submit', e => {
    e.preventDefault()
    change(e.target.elements.key.value, e.target.elements.to.value)
  })
  one('#undo').addEventListener('click', () => send(set => { if (done.length) undone.push(set); return done.pop() }, false))
  one('#redo').addEventListener('click', () => send(set => { if (undone.length) done.push(set); return undone.pop() }, false))
  new EventSource('/api/events').addEventListener('progress', e => {
    const p = JSON.parse(e.data)
    one('#work').max = p.total || 1
    one('#work').value = p.done
  })
  viewer = await pictured
  if (viewer) window.viewer = viewer
}

start().catch(e => { one('#answer').textContent = e.message })
