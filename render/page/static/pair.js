// Two panels that are dropped on the page: flanges, welds, map and a shell file to take away.
import { number, one, put, row } from '/static/page.js'

const saving = (name, text, kind, words) => {
  const a = put('a', words)
  a.href = URL.createObjectURL(new Blob([text], { type: kind }))
  a.download = name
  return a
}

const show = found => {
  const host = one('#pair-found')
  host.replaceChildren()
  const t = put('table', undefined, '', put('div', undefined, 'scroll', host))
  row(t, ['flange', 'panels', 'long, mm', 'wide, mm', 'air, mm'], 'th')
  for (const f of found.flanges) {
    row(t, [f.id, f.panels.join(' + '), number(f.length), `${number(f.width.least)} to ${number(f.width.greatest)}`,
      `${number(f.air.least, 2)} to ${number(f.air.greatest, 2)}`])
  }
  const o = found.outcome
  put('p', `${o.welds} welds in ${o.runs} runs; ${o.broken} rules broken, ${o.doubt} in doubt; ` +
    found.settings.map(s => `setting ${s.id}: ${number(s.current / 1000)} kA, ${number(s.force / 1000, 2)} kN`).join('; '), '', host)
  for (const s of found.said) put('p', s, 'finding note', host)
  const links = put('p', undefined, '', host)
  links.append(saving('shell.yaml', found.shell, 'application/yaml', 'Shell file'), ' ')
  for (const s of found.sheets) links.append(saving(`${s.name}.svg`, s.svg, 'image/svg+xml', `Map ${s.name}`), ' ')
  if (found.sheets.length) {
    const img = put('img', undefined, 'sheet', host)
    img.alt = `Weld map ${found.sheets[0].name}`
    img.src = URL.createObjectURL(new Blob([found.sheets[0].svg], { type: 'image/svg+xml' }))
  }
}

let asked = 0 // how often somebody has asked: an answer that came late is not shown

// send asks for what is found at once, and where no gun reaches once more for what would do, which takes longer.
const send = async (files, form) => {
  const said = one('#pair-said')
  if (files.length < 2) { said.textContent = 'Give two panels, or more.'; return }
  const mine = ++asked
  const body = new FormData()
  for (const f of files) body.append('panel', f, f.name)
  body.append('thickness', form.elements.thickness.value)
  body.append('unit', form.elements.unit.value)
  body.append('remedies', 'later')
  said.textContent = `Looking at ${[...files].map(f => f.name).join(' and ')} …`
  try {
    const found = await ask(body)
    if (mine !== asked) return
    const words = `${found.flanges.length} ${found.flanges.length === 1 ? 'flange' : 'flanges'} between ${[...files].map(f => f.name).join(' and ')}`
    said.textContent = words
    show(found)
    if (found.sought) return
    said.textContent = `${words}; what would let a gun in is being looked for …`
    body.delete('remedies')
    const whole = await ask(body)
    if (mine !== asked) return
    said.textContent = words
    show(whole)
  } catch (e) {
    said.textContent = e.message
    one('#pair-found').replaceChildren()
  }
}

const ask = async body => {
  const r = await fetch('/api/pair', { method: 'POST', body })
  const text = await r.text()
  if (!r.ok) throw new Error(text.trim())
  return JSON.parse(text)
}

export const listen = () => {
  const form = one('#pair'); const drop = one('#drop')
  form.addEventListener('submit', e => { e.preventDefault(); send(form.elements.panel.files, form) })
  for (const kind of ['dragenter', 'dragover']) drop.addEventListener(kind, e => { e.preventDefault(); drop.classList.add('over') })
  drop.addEventListener('dragleave', () => drop.classList.remove('over'))
  drop.addEventListener('drop', e => { e.preventDefault(); drop.classList.remove('over'); send(e.dataTransfer.files, form) })
  for (const kind of ['dragover', 'drop']) addEventListener(kind, e => e.preventDefault()) // a file beside the place must not leave the page
}
