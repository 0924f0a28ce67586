import { get, head, one, picture } from '/static/page.js'
import { fetchParts } from '/static/plan.js'

let plan, viewer, at = 0

const station = () => plan.stations.find(s => s.id === one('#station').value)
const key = () => `ticks ${plan.shell.input} ${station().id} shell ${one('#shell-number').value}`
const ticked = () => new Set(JSON.parse(localStorage.getItem(key()) || '[]'))

// show turns the picture to where the step's welds are, and says the step.
const show = () => {
  const s = station()
  const steps = s.steps
  at = Math.max(0, Math.min(at, steps.length - 1))
  const step = steps[at]
  one('#count').textContent = `Step ${at + 1} of ${steps.length}`
  one('#words').textContent = step ? step.text : 'Nothing is done here.'
  one('#tick').checked = ticked().has(at)
  one('#left').textContent = `${steps.length - ticked().size} of ${steps.length} steps are not ticked`
  const runs = new Set(step?.runs || [])
  const own = plan.welds.map((w, i) => [w, i]).filter(([w]) => w.station === s.id && runs.has(w.run))
  const settings = [...new Set(own.map(([w]) => w.setting))].map(id => plan.settings.find(x => x.id === id)).filter(Boolean)
  one('#setting').textContent = settings.map(x => `Setting ${x.id}: ${(x.current / 1000).toFixed(1)} kA, ${(x.force / 1000).toFixed(2)} kN, ` +
    `${x.weld_cycles ? `${x.weld_cycles} cycles` : `${x.weld} s`}`).join('; ')
  const present = new Set(s.present)
  viewer?.show(about => about.panel ? present.has(about.panel) : about.weld !== undefined ? own.some(([, i]) => i === about.weld) || !own.length && about.station === s.id
    : about.station ? about.station === s.id : about.flange ? own.some(([w]) => w.flange === about.flange) : false)
  viewer?.mark([])
  const middle = own[Math.floor(own.length / 2)]?.[0].axis
  viewer?.look((own.length ? own.map(([w]) => w) : plan.welds.filter(w => w.station === s.id)).map(w => w.position), middle)
}

const start = async () => {
  plan = (await fetchParts('station')).plan
  head(plan)
  for (const s of plan.stations) one('#station').append(new Option(s.name || s.id, s.id))
  const shells = one('#shell-number')
  shells.max = plan.shell.batch
  one('#station').addEventListener('change', () => { at = 0; maps(); show() })
  shells.addEventListener('change', () => { at = 0; show() })
  one('#next').addEventListener('click', () => { at++; show() })
  one('#back').addEventListener('click', () => { at--; show() })
  one('#tick').addEventListener('change', e => {
    const t = ticked()
    if (e.target.checked) t.add(at); else t.delete(at)
    localStorage.setItem(key(), JSON.stringify([...t]))
    show()
  })
  document.addEventListener('keydown', e => {
    if (e.target.matches('input, select')) return
    if (e.key === 'ArrowRight') { at++; show() }
    if (e.key === 'ArrowLeft') { at--; show() }
  })
  show()
  viewer = await picture({ begun: async v => { viewer = v; v.plan(plan); show() }, whole: show })
  maps() // which are drawn for it: the picture first
}

const maps = async () => {
  const host = one('#maps')
  host.replaceChildren()
  const names = await (await get(`/api/maps?station=${encodeURIComponent(station().id)}`)).json()
  for (const n of names) {
    const a = document.createElement('a')
    a.href = `/maps/${encodeURIComponent(station().id)}/${encodeURIComponent(n)}.svg`
    a.textContent = n
    host.append(a, ' ')
  }
}

start().catch(e => { one('#words').textContent = e.message })
