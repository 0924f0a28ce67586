// Variants: sets of changes with a name, kept in the browser and planned by the server without being saved. Engineer and estimator
// see the same ones.
import { number, one, put, row } from '/static/page.js'

const key = plan => `variants of ${plan.shell.name}`
const all = plan => JSON.parse(localStorage.getItem(key(plan)) || '[]')

export const describe = set => set.length ? set.map(said).join('; ') : 'no changes'

const said = s => {
  const was = listed(s.was); const now = listed(s.to)
  if (!now) return `${s.key} ${s.was ? `${brief(s.was)} → ` : ''}${brief(s.to)}`
  const same = (a, b) => JSON.stringify(a) === JSON.stringify(b)
  const more = now.filter(a => !was?.some(b => same(a, b))); const less = (was || []).filter(a => !now.some(b => same(a, b)))
  const some = (word, list) => list.length ? [`${word}${list.slice(0, 4).map(entry).join(', ')}${list.length > 4 ? ` and ${list.length - 4} more` : ''}`] : []
  return `${s.key}: ${[...some('', more), ...some('no longer ', less)].join('; ') || 'as it was'}`
}

// listed is a list of entries, where a text is one.
const listed = text => {
  if (!text?.startsWith('[{') && text !== '[]') return null
  try { return JSON.parse(text) } catch { return null }
}

// entry is a single weld or a keep-out in words; of other lists an entry as it stands.
const entry = e => {
  if (e.do) {
    const at = `${number(e.along_mm || 0)} mm${e.flange ? ` of ${e.flange}` : ''}`
    return { 'leave-out': `weld at ${at} left out`, move: `weld at ${at} moved to ${number(e.to_mm || 0)} mm`, pin: `weld pinned at ${at}`, add: `weld added at ${at}` }[e.do] || brief(JSON.stringify(e))
  }
  if (e.radius_mm && e.at_mm) return `no welds within ${number(e.radius_mm)} mm of (${e.at_mm.map(v => number(v, 0)).join(', ')})${e.why ? `: ${e.why}` : ''}`
  return brief(JSON.stringify(e))
}

const brief = text => text.length > 60 ? `${text.slice(0, 60)} …` : text

// keep plans a set of changes and puts it among the variants.
export const keep = async (plan, name, set) => {
  const r = await fetch('/api/variants', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify({ set }) })
  const text = await r.text()
  if (!r.ok) throw new Error(text.trim())
  localStorage.setItem(key(plan), JSON.stringify([...all(plan).filter(v => v.name !== name), { name, set, ...JSON.parse(text) }]))
}

// show lists the variants; take, where there is one, makes a variant the plan.
export const show = (plan, take) => {
  const t = one('#variants')
  t.replaceChildren()
  const list = all(plan)
  if (!list.length) return
  row(t, ['variant', 'changes', 'welds', 'broken', 'doubt', 'man-min', `${plan.cost.currency} a shell`, 'the batch', ''], 'th')
  for (const v of list) {
    const tr = row(t, [v.name, describe(v.set), number(v.welds, 0), number(v.broken, 0), number(v.doubt, 0), number(v.minutes), number(v.shell, 2),
      number(v.batch, 2)])
    const cell = put('td', undefined, '', tr)
    const button = (words, act) => {
      const b = put('button', words, 'do quiet', cell)
      b.type = 'button'
      b.addEventListener('click', act)
    }
    if (take) button('Take', () => take(v.set))
    button('Drop', () => {
      localStorage.setItem(key(plan), JSON.stringify(all(plan).filter(x => x.name !== v.name)))
      show(plan, take)
    })
  }
}
