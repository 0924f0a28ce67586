// What all pages share: asking the server, and words for the reader.
export const get = async (url) => {
  const r = await fetch(url)
  if (!r.ok) throw new Error((await r.text()).trim() || r.statusText)
  return r
}

export const json = async (url) => (await get(url)).json()

export const one = (selector, root = document) => root.querySelector(selector)
export const all = (selector, root = document) => [...root.querySelectorAll(selector)]

export const put = (tag, text, className, parent) => {
  const e = document.createElement(tag)
  if (text !== undefined) e.textContent = text
  if (className) e.className = className
  if (parent) parent.append(e)
  return e
}

export const number = (v, digits = 1) => v.toLocaleString('en-GB', { minimumFractionDigits: digits, maximumFractionDigits: digits,
  useGrouping: false })

// row adds a line of a table; numbers stand to the right.
export const row = (table, cells, tag = 'td') => {
  const tr = put('tr', undefined, '', table)
  for (const c of cells) put(tag, typeof c === 'number' ? number(c) : c, typeof c === 'number' ? 'n' : '', tr)
  return tr
}

// head writes what stands on top of every page: the shell, and whether the plan is ready.
export const head = (plan) => {
  one('#shell').textContent = `${plan.shell.name}, revision ${plan.shell.revision || 'not stated'}, batch of ${plan.shell.batch}`
  const { broken, doubt } = plan
  const status = plan.shell.status || 'draft'
  const said = []
  if (broken) said.push(`${broken} ${broken === 1 ? 'rule is' : 'rules are'} broken`)
  if (doubt) said.push(`${doubt} in doubt`)
  const word = status === 'approved' && !broken ? 'approved' : status === 'demonstration' ? 'demonstration, invented data' : 'not approved'
  one('#notready').textContent = [word, ...said].join('; ')
}

// meanwhile draws those panels that are ready, while the others are made light for the first time.
const meanwhile = (viewer, said) => {
  said.textContent = 'The panels are made light for the first picture; weld lines and welds are here.'
  const events = new EventSource('/api/events')
  let busy = false
  let more = false // panels came while others were fetched
  const draw = async () => {
    if (busy) { more = true; return }
    busy = true
    more = false
    try { await viewer.early('/api/scene.glb?ready') } catch {} // the whole picture says what is wrong
    setTimeout(() => { busy = false; if (more && !viewer.loaded) draw() }, 1500)
  }
  draw() // those that were ready before
  events.addEventListener('progress', e => {
    if (viewer.loaded) { events.close(); return }
    const p = JSON.parse(e.data)
    if (p.stage !== 'panels of the picture') return
    said.textContent = `Panels made light for the first picture: ${p.done} of ${p.total}; those that are ready are drawn, with all weld lines and welds.`
    draw()
  })
}

// picture brings the viewer in, or says how it is made.
export const picture = async (on) => {
  const said = one('#said')
  let made
  try {
    made = await import('/bundle/viewer.js')
  } catch {
    said.textContent = 'The picture is not in this program. It is added by: go generate ./render/page, then go build ./cmd/seamwright. ' +
      'All else on this page works without it.'
    return null
  }
  try {
    const v = new made.Viewer(one('canvas'), { drawn: () => {}, weld: () => {}, panel: () => {}, clamp: () => {}, coarse: () => {}, lost: () => {
      said.textContent = 'The browser has dropped the picture: load the page again.'
    }, within: mm => {
      one('#within').textContent = mm < 0.005 ? 'panels drawn as they are' : `panels drawn to within ${number(mm, mm < 0.1 ? 2 : 1)} mm`
    }, ...on })
    const begun = on.begun(v)
    const early = setTimeout(() => meanwhile(v, said), 700)
    try { await v.load('/api/scene.glb', '/api/scene.glb?fine') } finally { clearTimeout(early); v.loaded = true }
    await begun
    on.whole(v)
    said.textContent = ''
    await new Promise(resolve => requestAnimationFrame(() => setTimeout(resolve)))
    performance.mark('picture') // drawn, for who measures
    return v
  } catch (e) {
    said.textContent = `The picture cannot be drawn here (${e.message}). The list beside it holds everything.`
    return null
  }
}
