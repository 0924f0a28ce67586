import { head, json, number, one, put, row } from '/static/page.js'
import { fetchParts } from '/static/plan.js'
import { keep, show } from '/static/variants.js'

// bar is a row with a bar from one share of the column to another.
const bar = (table, name, from, to, words) => {
  const tr = put('tr', undefined, '', table)
  put('td', name, '', tr)
  put('td', words, 'n', tr)
  const b = put('span', undefined, 'bar', put('td', undefined, '', tr))
  b.style.marginLeft = `${100 * from}%`
  b.style.width = `${Math.max(0.3, 100 * (to - from))}%`
}

const right = tr => { tr.children[1].className = 'n'; return tr }

const start = async () => {
  const [{ plan }, saved, called] = await Promise.all([fetchParts('estimator'), json('/api/changes'), json('/api/inputs')])
  head(plan)
  const c = { ...plan.cost, ...plan.money }
  const t = one('#totals')
  row(t, ['man-minutes a shell', number(c.minutes_per_shell)])
  row(t, [`${c.currency} a shell`, number(c.cost_per_shell, 2)])
  row(t, [`${c.currency} for the batch of ${c.batch}`, number(c.cost_per_batch, 2)])
  row(t, ['eight in ten batches cost less than', number(c.spread.batch_p80, 2)])
  const most = Math.max(...c.stations.map(s => s.man_minutes))
  right(row(one('#minutes'), ['station', 'man-minutes', ''], 'th'))
  for (const s of c.stations) bar(one('#minutes'), s.name || s.station, 0, s.man_minutes / most, number(s.man_minutes))
  const least = Math.min(...c.spread.movers.map(m => m.low))
  const span = Math.max(...c.spread.movers.map(m => m.high)) - least || 1
  right(row(one('#movers'), ['what moves it', `${c.currency} a shell, 10th to 90th percentile`, ''], 'th'))
  for (const m of c.spread.movers) bar(one('#movers'), called[m.id] ? `${called[m.id]} (${m.id})` : m.id, (m.low - least) / span, (m.high - least) / span, `${number(m.low, 2)} to ${number(m.high, 2)}`)
  row(one('#lines'), ['line', 'station', 'quantity', '', 'money a shell', 'follows from'], 'th')
  for (const l of c.lines) row(one('#lines'), [l.what, l.station, l.quantity, l.unit, number(l.total, 2), l.from])
  const back = e => { one('#notready').textContent = e.message }
  one('#breaks').addEventListener('click', () => json('/api/breaks?shells=1,6,12,24,48').then(list => {
    const b = one('#quantity')
    b.replaceChildren()
    row(b, ['shells', 'a shell', 'the batch'], 'th')
    for (const r of list) row(b, [number(r.shells, 0), number(r.shell, 2), number(r.batch, 2)])
  }).catch(back))
  one('#keep').addEventListener('submit', e => {
    e.preventDefault()
    const name = e.target.elements.name.value.trim()
    if (!name) return
    keep(plan, name, saved.set).then(() => show(plan)).catch(back)
  })
  show(plan)
}

start().catch(e => { one('#notready').textContent = e.message })
