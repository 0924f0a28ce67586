// The plan as this page shows it, put together of the parts that the server has sent. A part that stayed as it was is not sent again.
import { json } from '/static/page.js'

let parts = {}
let version = ''

// fetchParts asks for what has changed, and gives the plan and the names of the parts that came.
export const fetchParts = async door => {
  const got = await json(`/api/parts?door=${door}${version && `&since=${version}`}`)
  if (got.all) parts = {}
  Object.assign(parts, got.parts)
  version = got.version
  return { plan: whole(), came: Object.keys(got.parts) }
}

const triples = flat => Array.from({ length: flat.length / 3 }, (_, i) => flat.slice(3 * i, 3 * i + 3))

// whole has every list that the parts hold: stations and joints, flanges with their weld lines, runs, welds, seams.
const whole = () => {
  const head = parts.head
  const plan = { ...head, findings: parts.findings || [], money: parts.money, stations: [], joints: [], flanges: [], runs: [], welds: [], seams: [] }
  if (!parts[`jig/${head.jigs[0]?.id}`]) return plan // of a door without them
  for (const at of head.jigs) {
    const jig = parts[`jig/${at.id}`]
    const flanges = parts[`lines/${at.id}`].map(f => ({ ...f, line: pointsOf(f.line) }))
    const runs = jig.runs.map(r => ({ ...r, id: at.run + r.id }))
    plan.joints.push(...jig.joints)
    plan.flanges.push(...flanges)
    plan.runs.push(...runs)
    plan.seams.push(...jig.seams.map(s => ({ ...s, path: triples(s.path) })))
    if (at.id) plan.stations.push({ ...jig, id: at.id, welds: jig.welds.along.length, steps: parts[`steps/${at.id}`] || [] })
    weldsOf(at, jig.welds, flanges, runs, plan.welds)
  }
  return plan
}

const pointsOf = flat => Array.from({ length: flat.length / 4 }, (_, i) => ({ along: flat[4 * i], at: flat.slice(4 * i + 1, 4 * i + 4) }))

// weldsOf adds a jig's welds, which come in columns.
const weldsOf = (at, c, flanges, runs, out) => {
  const waits = new Set(c.waits); const unreached = new Set(c.unreached)
  c.along.forEach((along, i) => {
    const f = flanges[c.flange[i]]
    out.push({
      number: i + 1, station: at.id, joint: f?.joint, flange: f?.id, sheets: f?.panels || [], run: runs[c.run[i]]?.id,
      position: c.position.slice(3 * i, 3 * i + 3), axis: c.axis.slice(3 * i, 3 * i + 3), along, weld_diameter: c.weld_diameter[i],
      gun: c.words[c.gun[i]], tip: c.words[c.tip[i]], setting: c.words[c.setting[i]], step: c.words[c.step[i]],
      turn: c.pose[3 * i], tilt: c.pose[3 * i + 1], clearance: c.pose[3 * i + 2], waits: waits.has(i), unreached: unreached.has(i)
    })
  })
}
