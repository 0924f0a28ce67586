// What is changed by hand on the page: single welds, keep-outs, clamps. Each becomes a whole list at a key of the shell file.
import { json, one } from '/static/page.js'

const current = async key => (await json(`/api/value?key=${encodeURIComponent(key)}`)) || []

// legs are the straights of a flange's weld line, from one point to the next; of a closed one also that to its start.
const legs = flange => {
  const line = flange.line
  const out = line.slice(1).map((p, i) => [line[i], p])
  if (flange.closed && line.length > 2) out.push([line[line.length - 1], { along: flange.length, at: line[0].at }])
  return out
}

// place is the point of a flange's weld line at a length along it.
export const place = (flange, along) => {
  const all = legs(flange)
  const [a, b] = all.find(([, b]) => b.along >= along) || all[all.length - 1]
  const f = b.along > a.along ? Math.min(1, Math.max(0, (along - a.along) / (b.along - a.along))) : 0
  return a.at.map((v, i) => Math.round((v + (b.at[i] - v) * f) * 1000) / 1000)
}

// nearestOn is where a flange's weld line comes nearest to a place: how far along it that is, and how far off.
export const nearestOn = (flange, at) => {
  let best = { along: 0, off: Infinity }
  for (const [a, b] of legs(flange)) {
    const u = sub(b.at, a.at)
    const f = Math.min(1, Math.max(0, dot(sub(at, a.at), u) / (dot(u, u) || 1)))
    const off = Math.hypot(...sub(at, plus(a.at, scale(u, f))))
    if (off < best.off) best = { along: a.along + f * (b.along - a.along), off }
  }
  return best
}

// free is an id that no entry of a list has.
const free = (list, stem) => {
  let n = 1
  while (list.some(e => e.id === `${stem}${n}`)) n++
  return `${stem}${n}`
}

// single adds what is done to one weld, in place of what was done there before.
export const single = async (joint, flange, act, at, to) => {
  const key = `joints.${joint}.welds`
  const list = (await current(key)).filter(w => !((w.flange || flange) === flange && Math.abs((w.along_mm || 0) - at) < 0.5))
  const weld = { id: free(list, 'page-'), flange, along_mm: at, do: act }
  if (act === 'move') weld.to_mm = to
  return { key, to: JSON.stringify([...list, weld]) }
}

// keepOut adds a ball between two places of a flange.
export const keepOut = async (joint, flange, from, to, why) => {
  const key = `joints.${joint}.keep_outs`
  const ball = { at_mm: place(flange, (from + to) / 2), radius_mm: Math.max(0.1, Math.abs(to - from) / 2) }
  if (why) ball.why = why
  return { key, to: JSON.stringify([...await current(key), ball]) }
}

// clampAt moves a clamp.
export const clampAt = (station, clamp, at) => ({ key: `stations.${station}.clamps.${clamp}.at_mm`, to: JSON.stringify(at) })

// pulled makes the graph of a flange answer to the pointer: a pull along it is a stretch, a tap a place, both in mm.
export const pulled = (host, flange, on) => {
  const svg = one('svg', host)
  if (!svg) return
  const side = Number(svg.dataset.side); const wide = Number(svg.dataset.wide)
  let from = null
  const at = e => {
    const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(svg.getScreenCTM().inverse())
    return Math.min(flange.length, Math.max(0, (p.x - side) / wide * flange.length))
  }
  const band = document.createElementNS('http://www.w3.org/2000/svg', 'rect')
  for (const [k, v] of Object.entries({ y: 12, height: 126, fill: 'currentColor', 'fill-opacity': 0.15, stroke: 'none' })) band.setAttribute(k, v)
  const show = (a, b) => {
    band.setAttribute('x', side + Math.min(a, b) / flange.length * wide)
    band.setAttribute('width', Math.abs(b - a) / flange.length * wide)
    if (!band.parentNode) svg.append(band)
  }
  svg.style.touchAction = 'pan-y'
  svg.addEventListener('pointerdown', e => { from = at(e); svg.setPointerCapture(e.pointerId) })
  svg.addEventListener('pointermove', e => { if (from !== null) show(from, at(e)) })
  svg.addEventListener('pointerup', e => {
    if (from === null) return
    const to = at(e)
    if (Math.abs(to - from) > flange.length / 100) on.stretch(Math.min(from, to), Math.max(from, to))
    else { band.remove(); on.place(to) }
    from = null
  })
}

// bars are a gun at a weld, turned by degrees and leaning or upright, as seamwright looks whether it gets there: two electrodes, two arms, a back.
export const bars = (plan, weld, gunID, tipID, degrees, guns, tips, lean) => {
  const gun = guns.find(g => g.id === gunID); const tip = tips.find(t => t.id === tipID)
  const flange = plan.flanges.find(f => f.id === weld.flange)
  if (!gun || !flange) return []
  const all = legs(flange)
  const [a, b] = all.find(([, b]) => b.along >= weld.along) || all[all.length - 1]
  const way = sub(b.at, a.at)
  const axis = unit(weld.axis)
  const along = unit(less(way, axis, dot(way, axis)))
  const [n, t] = lean ? leaning(axis, along, lean) : [axis, along]
  const turn = degrees * Math.PI / 180
  const out = plus(scale(t, Math.cos(turn)), scale(cross(n, t), Math.sin(turn))) // right-handed about the axis
  const arm = gun.arm_mm / 2; const half = gun.throat_gap_mm / 2
  const of = (along, up) => plus(weld.position, plus(scale(out, along), scale(n, up)))
  const shank = Math.max(tip?.shank_mm || 0, tip?.shank_thin_mm || 0, 8) / 2
  const long = Math.min(tip?.length_mm || half, half)
  const bars = []
  for (const s of [1, -1]) {
    bars.push({ from: of(0, 0), to: of(0, s * long), radius: shank })
    if (half > long) bars.push({ from: of(0, s * long), to: of(0, s * (half + arm)), radius: arm })
    bars.push({ from: of(0, s * (half + arm)), to: of(gun.throat_depth_mm + arm, s * (half + arm)), radius: arm })
  }
  bars.push({ from: of(gun.throat_depth_mm + arm, -half - arm), to: of(gun.throat_depth_mm + arm, half + arm), radius: arm })
  return bars.map(b => ({ ...b, flat: cross(out, n) }))
}

// leaning are the axis of a gun that leans, and the direction square to it that its turn is counted from.
const leaning = (axis, along, lean) => {
  const [tilt, towards] = [lean.tilt, lean.towards].map(d => d * Math.PI / 180)
  const to = plus(scale(along, Math.cos(towards)), scale(cross(axis, along), Math.sin(towards)))
  const up = plus(scale(axis, Math.cos(tilt)), scale(to, Math.sin(tilt)))
  return [up, unit(less(along, up, dot(along, up)))]
}

// outline is the bars of a gun as thin lines in its plane: pairs of places.
export const outline = bars => bars.flatMap(b => {
  const side = scale(unit(cross(b.flat, sub(b.to, b.from))), b.radius)
  const corners = [plus(b.from, side), plus(b.to, side), sub(b.to, side), sub(b.from, side)]
  return corners.flatMap((c, i) => [c, corners[(i + 1) % 4]])
})

// middle is the angle in the middle of an arc that may go over 0, words the arc in words.
export const middle = arc => (arc.from + ((arc.to - arc.from + 360) % 360) / 2) % 360
export const words = arc => arc.from === arc.to ? `${arc.from}°` : (arc.to + 5) % 360 === arc.from ? 'all round' : `${arc.from}° to ${arc.to}°`

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
const sub = (a, b) => a.map((v, i) => v - b[i])
const plus = (a, b) => a.map((v, i) => v + b[i])
const scale = (a, f) => a.map(v => v * f)
const less = (a, n, f) => sub(a, scale(n, f))
const unit = a => scale(a, 1 / (Math.hypot(...a) || 1))
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]

// groups are the ways to point welds out: by step, gun, setting and finding, each with its welds.
export const groups = plan => {
  const out = new Map()
  const put = (name, i) => { if (!out.has(name)) out.set(name, []); out.get(name).push(i) }
  plan.welds.forEach((w, i) => {
    put(`step: ${w.step}`, i)
    put(`gun: ${w.gun || 'none reaches'}`, i)
    put(`setting: ${w.setting || 'none'}`, i)
    if (w.waits) put('waits for others', i)
  })
  for (const f of plan.findings) {
    plan.welds.forEach((w, i) => {
      if (f.weld ? w.station === f.station && w.number === f.weld : f.flange ? w.flange === f.flange : f.joint && w.joint === f.joint) {
        put(`${f.severity}: ${f.rule}`, i)
      }
    })
  }
  return new Map([...out].map(([k, v]) => [k, [...new Set(v)]]).sort(([a], [b]) => a < b ? -1 : 1))
}

// fill fills in a select and keeps what was chosen where it is still there.
export const fill = (select, names, first) => {
  const was = select.value
  select.replaceChildren(new Option(first, ''), ...names.map(n => new Option(n, n)))
  select.value = names.includes(was) ? was : ''
}
