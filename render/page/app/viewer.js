// The picture: panels, weld lines, welds, fixtures. It is drawn when something changes, never in a loop.
import {
  AmbientLight, Box3, BufferAttribute, BufferGeometry, Color, CylinderGeometry, DirectionalLight, DoubleSide, Float32BufferAttribute, Group,
  LineBasicMaterial, LineSegments, Line, LineLoop, Mesh, MeshBasicMaterial, MeshLambertMaterial, OrthographicCamera, Plane, Quaternion,
  Raycaster, Scene, Shape, ShapeGeometry, Triangle, Vector2, Vector3, WebGLRenderer
} from 'three'
import { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js'
import { GLTFLoader } from 'three/examples/jsm/loaders/GLTFLoader.js'

const UP = new Vector3(0, 0, 1)
const STAYS = new Vector3()

// Marks and weld lines lie between the sheets. Faces are drawn farther off than they are, in steps of the depth buffer, so that marks
// show through some 2 mm of metal and no more: the view is 40 m deep in 2^24 steps.
const BEHIND = 2 / 40000 * 2 ** 24

// ring, square and diamond are the marks of the printed maps: a fill weld, a tack, a weld made once a clamp is off.
function outline (kind, r) {
  const s = new Shape()
  if (kind === 'tack') {
    s.moveTo(-r, -r).lineTo(r, -r).lineTo(r, r).lineTo(-r, r).closePath()
  } else if (kind === 'released') {
    s.moveTo(0, -1.3 * r).lineTo(1.3 * r, 0).lineTo(0, 1.3 * r).lineTo(-1.3 * r, 0).closePath()
  } else {
    s.absarc(0, 0, r, 0, 2 * Math.PI, false)
  }
  if (kind !== 'tack') {
    const hole = new Shape()
    if (kind === 'released') hole.moveTo(0, -0.8 * r).lineTo(0.8 * r, 0).lineTo(0, 0.8 * r).lineTo(-0.8 * r, 0).closePath()
    else hole.absarc(0, 0, 0.62 * r, 0, 2 * Math.PI, true)
    s.holes.push(hole)
  }
  return new ShapeGeometry(s, 8)
}

// MANY is how many marks of a kind are drawn as solid ones while the view is turned, with a quarter of the triangles. Chosen.
const MANY = 1000

// solid is the shape of a mark without its hole.
function solid (kind, r) {
  const s = new Shape()
  if (kind === 'tack') s.moveTo(-r, -r).lineTo(r, -r).lineTo(r, r).lineTo(-r, r).closePath()
  else if (kind === 'released') s.moveTo(0, -1.3 * r).lineTo(1.3 * r, 0).lineTo(0, 1.3 * r).lineTo(-1.3 * r, 0).closePath()
  else s.absarc(0, 0, r, 0, 2 * Math.PI, false)
  return new ShapeGeometry(s, 3)
}

// copies is a geometry with room for a shape so many times.
function copies (shape, n) {
  const g = new BufferGeometry()
  g.userData.shape = shape
  const corners = shape.attributes.position.count
  for (const name of ['position', 'color']) g.setAttribute(name, new Float32BufferAttribute(new Float32Array(3 * n * corners), 3))
  return g
}

// put places copies: of each its number, its middle and the two directions that span it. The others are not drawn.
function put (g, at) {
  const corners = g.userData.shape.attributes.position.array; const n = corners.length / 3; const shape = g.userData.shape.index.array
  const p = g.attributes.position.array
  const index = g.userData.index ??= new Uint32Array(p.length / 3 / n * shape.length)
  if (!g.index) g.setIndex(new BufferAttribute(index, 1))
  let m = 0
  for (const [k, c, u, v] of at) {
    let o = 3 * k * n
    for (let i = 0; i < 3 * n; i += 3) {
      const x = corners[i]; const y = corners[i + 1]
      p[o++] = c.x + x * u.x + y * v.x
      p[o++] = c.y + x * u.y + y * v.y
      p[o++] = c.z + x * u.z + y * v.z
    }
    for (let i = 0; i < shape.length; i++) index[m++] = k * n + shape[i]
  }
  g.setDrawRange(0, m)
  g.attributes.position.needsUpdate = g.index.needsUpdate = true
}

// tint colours each copy.
function tint (g, colours) {
  const n = g.userData.shape.attributes.position.count; const to = g.attributes.color.array
  let o = 0
  for (const c of colours) for (let i = 0; i < n; i++) { to[o++] = c.r; to[o++] = c.g; to[o++] = c.b }
  g.attributes.color.needsUpdate = true
}

// closest is the weld next to a place.
function closest (welds, at) {
  let best; let least = Infinity
  for (const w of welds) {
    const d = Math.hypot(...w.position.map((v, i) => v - at[i]))
    if (d < least) { best = w; least = d }
  }
  return best
}

const vec = a => new Vector3(a[0], a[1], a[2])

export class Viewer {
  constructor (canvas, on) {
    this.canvas = canvas
    this.on = on
    this.renderer = new WebGLRenderer({ canvas, antialias: true, preserveDrawingBuffer: true })
    this.renderer.localClippingEnabled = true
    this.scene = new Scene()
    this.camera = new OrthographicCamera(-1, 1, 1, -1, -20000, 20000)
    this.camera.up.copy(UP)
    this.controls = new OrbitControls(this.camera, canvas)
    this.controls.addEventListener('change', () => this.ask())
    this.scene.add(new AmbientLight(0xffffff, 1.6))
    this.sun = new DirectionalLight(0xffffff, 1.6)
    this.scene.add(this.sun)
    this.panels = new Group() // the coarse ones, which are turned
    this.fine = new Group() // what stands in their place while the view rests; empty until then
    this.fine.visible = false
    this.marks = new Group()
    this.section = new Group() // lines of a cut
    this.gun = new Group()
    this.blocked = new Group() // poses of the gun
    this.scene.add(this.panels, this.fine, this.marks, this.section, this.gun, this.blocked)
    this.fingers = new Set() // on the canvas, or the mouse
    this.byWeld = []
    this.labels = [] // of hold points
    this.words = document.createElement('div')
    this.words.className = 'labels'
    this.words.setAttribute('aria-hidden', 'true') // the list says the same
    canvas.after(this.words)
    this.picked = new Set()
    this.chosen = null // welds that are pointed out; null: none in particular
    this.share = 0
    this.spans = []
    this.shifts = {} // of panels that are pulled apart, by id
    this.first = {} // the sheet that a flange's marks go with
    this.marksOf = [] // the marks of welds, a mesh for each kind
    this.shown = () => true
    canvas.addEventListener('webglcontextlost', e => { e.preventDefault(); on.lost() })
    canvas.addEventListener('pointerdown', e => {
      this.fingers.add(e.pointerId)
      this.down = this.fingers.size > 1 ? null : [e.clientX, e.clientY] // two fingers pick nothing
      if (this.down) this.grasp(e)
      else this.drop(true)
    })
    canvas.addEventListener('pointermove', e => this.drag(e))
    canvas.addEventListener('pointerup', e => { this.fingers.delete(e.pointerId); if (!this.drop()) this.click(e) })
    canvas.addEventListener('pointercancel', e => { this.fingers.delete(e.pointerId); this.drop(true) })
    this.controls.addEventListener('start', () => this.turning(true))
    this.controls.addEventListener('end', () => this.turning(false))
    new ResizeObserver(() => this.resize()).observe(canvas.parentElement)
    this.theme()
    matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => { this.theme(); this.ask() })
  }

  theme () {
    const css = getComputedStyle(document.documentElement)
    const of = name => new Color(css.getPropertyValue(name).trim())
    this.ink = of('--ink')
    this.scene.background = of('--paper')
    this.sheet = of('--sheet')
    this.pick = of('--pick')
    this.pale = of('--rule')
    for (const level of [this.panels, this.fine]) {
      level.traverse(o => {
        if (o.isMesh) o.material.color.copy(this.sheet)
        if (o.isLineSegments) o.material.color.copy(this.ink)
      })
    }
    this.marks.traverse(o => { if (o.material && !o.userData.welds) o.material.color.copy(this.ink) })
    this.paint()
  }

  // load fetches the panels to turn, and where finer ones are to be had once the view rests.
  async load (url, finer) {
    this.finer = finer
    this.fine.clear()
    this.fill(this.panels, await new GLTFLoader().loadAsync(url))
    this.whole = true
    this.box = new Box3().setFromObject(this.panels)
    this.place()
    this.level(false)
    this.turning(false)
    requestIdleCallback(() => this.timed(), { timeout: 2000 })
  }

  // timed finds whether a picture takes long to draw, as it does by software: then less is drawn while the view turns.
  timed () {
    const gl = this.renderer.getContext(); const point = new Uint8Array(4)
    const draw = () => {
      this.renderer.render(this.scene, this.camera)
      gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, point) // waits until it is drawn
    }
    draw() // the first one hands the panels over
    const from = performance.now()
    draw()
    this.slow = performance.now() - from > 50
  }

  // rough draws at half the resolution while the view turns, where a picture takes long.
  rough (now) {
    const ratio = Math.min(devicePixelRatio, 2) * (now && this.slow ? 0.5 : 1)
    if (ratio !== this.renderer.getPixelRatio()) this.renderer.setPixelRatio(ratio)
  }

  // early draws panels that are ready before all are.
  async early (url) {
    const r = await fetch(url)
    if (r.status !== 200) return
    const gltf = await new GLTFLoader().parseAsync(await r.arrayBuffer(), '')
    if (this.whole) return
    this.fill(this.panels, gltf)
    this.place()
  }

  fill (level, gltf) {
    level.clear()
    level.userData.off = gltf.scene.userData.off_mm
    for (const node of [...gltf.scene.children]) {
      node.name = node.userData.name ?? node.name // the loader keeps no full stops, and gives no name twice: not even the shell's
      node.traverse(o => {
        if (o.isMesh) {
          o.material = new MeshLambertMaterial({ color: this.sheet, side: DoubleSide, flatShading: true, polygonOffset: true,
            polygonOffsetFactor: 1, polygonOffsetUnits: BEHIND })
          o.userData.panel = node.name
        } else if (o.isLineSegments) {
          o.material = new LineBasicMaterial({ color: this.ink, transparent: true, opacity: 0.55 })
        }
      })
      node.userData.home = node.position.clone()
      level.add(node)
    }
  }

  // turning shows the coarse panels while the view moves, and the fine ones a moment after it came to rest.
  turning (now) {
    clearTimeout(this.rest)
    this.moving = now
    if (now) { this.rough(true); this.level(false); return }
    this.rest = setTimeout(async () => {
      this.rough(false)
      if (this.finer && !this.fine.children.length) {
        const url = this.finer
        try { this.fill(this.fine, await new GLTFLoader().loadAsync(url)) } catch (e) { this.finer = ''; this.on.coarse(e.message); return }
        if (url !== this.finer) return
        this.place()
        if (this.moving) return
      }
      this.level(true)
    }, 700)
  }

  level (fine) {
    const has = this.fine.children.length > 0
    this.fine.visible = fine && has
    this.panels.visible = !this.fine.visible
    this.resting = fine
    for (const m of this.marksOf) this.refresh(m)
    const off = (this.fine.visible ? this.fine : this.panels).userData.off
    if (off !== undefined) this.on.within(off)
    this.ask()
  }

  // place puts panels where they are pulled to, hides what is not shown, and cuts.
  place () { this.apart(this.share) }

  // plan draws what was decided.
  plan (plan) {
    this.data = plan
    this.marks.traverse(o => { o.geometry?.dispose(); o.material?.dispose() })
    this.box ??= new Box3().setFromPoints(plan.flanges.flatMap(f => f.line.map(p => vec(p.at)))) // until there are panels
    this.marks.clear()
    this.labels = []
    this.spans = [] // hold points with two ends
    this.words.replaceChildren()
    this.gun.clear()
    this.blocked.clear()
    this.chosen = null
    this.first = Object.fromEntries(plan.flanges.map(f => [f.id, f.panels[0]]))
    this.weldLines(plan.flanges)
    for (const s of plan.seams) this.line(s.path, s.closed, { seam: s.id, on: this.first[s.flange] })
    this.welds(plan.welds)
    for (const st of plan.stations) {
      const own = plan.welds.filter(w => w.station === st.id)
      const on = at => this.first[closest(own, at)?.flange]
      for (const c of st.clamps || []) this.cross(c.at, c.radius / 2, { station: st.id, clamp: c.id, at: c.at, on: on(c.at) }, true)
      for (const d of st.dowels || []) this.cross(d.at, d.radius, { station: st.id, dowel: d.id, on: on(d.at) }, false)
      for (const h of st.hold_points || []) {
        const about = { station: st.id, hold: h.id, on: on(h.at) }
        const ends = h.to && h.to.some((v, k) => v !== h.at[k]) && h.to.some(v => v) ? [h.at, h.to] : [h.at]
        if (ends.length > 1) {
          this.line(ends, false, { station: st.id, hold: h.id, ends })
          this.spans.push({ line: this.marks.children[this.marks.children.length - 1], ends, label: this.labels.length, present: st.present })
        }
        ends.forEach((p, k) => this.cross(p, 9, ends.length > 1 ? { station: st.id, hold: h.id, ends, end: [this.spans.length - 1, k] } : about, false))
        this.label(ends, h, ends.length > 1 ? { station: st.id, hold: h.id } : about)
      }
    }
    this.place()
    this.paint()
  }

  // weldLines are those of all flanges in one object, however many there are; showLines says which of them are drawn, and where.
  weldLines (flanges) {
    this.runs = flanges.map(f => ({ flange: f.id, points: f.closed ? [...f.line, f.line[0]].map(p => p.at) : f.line.map(p => p.at) }))
    this.lines = new LineSegments(new BufferGeometry(), new LineBasicMaterial({ color: this.ink }))
    this.lines.frustumCulled = false // its places change
    this.marks.add(this.lines)
    this.ties = new LineSegments(new BufferGeometry(), new LineBasicMaterial({ color: this.ink, transparent: true, opacity: 0.5 }))
    this.ties.frustumCulled = false // as above
    this.marks.add(this.ties)
  }

  // showLines puts the weld lines that are shown on the sheets that they go with, and leaves out what is cut away.
  showLines (keep) {
    const places = []
    for (const r of this.runs) {
      if (!keep({ flange: r.flange })) continue
      const by = this.shift(this.first[r.flange])
      for (let i = 1; i < r.points.length; i++) {
        for (const p of this.uncut(r.points[i - 1], r.points[i])) places.push(p[0] + by.x, p[1] + by.y, p[2] + by.z)
      }
    }
    this.lines.geometry.dispose()
    this.lines.geometry = new BufferGeometry().setAttribute('position', new Float32BufferAttribute(places, 3))
  }

  // uncut are the ends of what the cut leaves of a straight; none where it leaves nothing.
  uncut (a, b) {
    if (!this.plane) return [a, b]
    const [p, q] = [a, b].map(x => this.plane.distanceToPoint(vec(x)))
    if (p < 0 && q < 0) return []
    if (p >= 0 && q >= 0) return [a, b]
    const on = a.map((v, k) => v + (b[k] - v) * p / (p - q))
    return p < 0 ? [on, b] : [a, on]
  }

  // moveSpans leads the line of a hold point from end to end, each where the panel is that it lies on.
  moveSpans () {
    for (const s of this.spans) {
      if (this.share && this.whole) s.on ??= s.ends.map(p => this.panelAt(vec(p), s.present))
      const ends = s.ends.map((p, k) => vec(p).add(this.shift(s.on?.[k])))
      s.line.geometry.setFromPoints(ends)
      this.labels[s.label].at = ends[0].clone().add(ends[1]).divideScalar(2)
    }
  }

  // panelAt is the panel of some that comes nearest to a place, by its facets as they are turned.
  panelAt (at, ids) {
    let best; let least = Infinity
    const t = new Triangle(); const on = new Vector3(); const box = new Box3()
    for (const p of this.panels.children) {
      if (!ids.includes(p.name)) continue
      p.updateMatrixWorld(true)
      p.traverse(o => {
        if (!o.isMesh) return
        const home = o.matrixWorld.clone().setPosition(new Vector3().setFromMatrixPosition(o.matrixWorld).sub(p.position).add(p.userData.home))
        const { index, attributes: { position } } = o.geometry
        o.geometry.boundingBox ?? o.geometry.computeBoundingBox()
        if (box.copy(o.geometry.boundingBox).applyMatrix4(home).distanceToPoint(at) >= least) return
        for (let i = 0; i < index.count; i += 3) {
          t.setFromAttributeAndIndices(position, index.getX(i), index.getX(i + 1), index.getX(i + 2))
          for (const v of [t.a, t.b, t.c]) v.applyMatrix4(home)
          const d = t.closestPointToPoint(at, on).distanceTo(at)
          if (d < least) { least = d; best = p.name }
        }
      })
    }
    return best
  }

  // showTies leads from the middle of each weld line to where it would lie on its other sheets, so that one sees what is joined to what.
  showTies (keep) {
    const places = []
    for (const f of this.share ? this.data.flanges : []) {
      if (!keep({ flange: f.id }) || !f.panels.every(id => keep({ panel: id }))) continue
      const middle = vec(f.line[f.line.length >> 1].at)
      f.panels.slice(1).forEach((id, i) => {
        const [a, b] = [f.panels[i], id].map(id => this.shift(id))
        if (a.distanceTo(b) > 1) for (const by of [a, b]) places.push(...middle.clone().add(by).toArray())
      })
    }
    this.ties.geometry.dispose()
    this.ties.geometry = new BufferGeometry().setAttribute('position', new Float32BufferAttribute(places, 3))
    this.ties.visible = places.length > 0
  }

  line (points, closed, about) {
    const g = new BufferGeometry().setFromPoints(points.map(vec))
    const l = new (closed ? LineLoop : Line)(g, new LineBasicMaterial({ color: this.ink }))
    l.userData = about
    this.marks.add(l)
  }

  cross (at, r, about, square) {
    const p = vec(at)
    const a = square ? [[-1, -1, 0], [1, 1, 0], [-1, 1, 0], [1, -1, 0]] : [[-1, 0, 0], [1, 0, 0], [0, -1, 0], [0, 1, 0], [0, 0, -1], [0, 0, 1]]
    const g = new BufferGeometry().setFromPoints(a.map(d => vec(d).multiplyScalar(r).add(p)))
    const l = new LineSegments(g, new LineBasicMaterial({ color: this.ink }))
    l.userData = about
    this.marks.add(l)
  }

  // label writes a hold point's dimension beside its middle, over the picture.
  label (ends, h, about) {
    const e = document.createElement('span')
    const off = h.tolerance ? ` ± ${h.tolerance}` : ''
    e.textContent = `${h.id} ${about.station}${h.value ? `: ${h.value.toFixed(1)}${off}` : h.tolerance ? `: within ${h.tolerance}` : ''}`
    this.words.append(e)
    this.labels.push({ e, about, at: ends.map(vec).reduce((a, b) => a.add(b), new Vector3()).divideScalar(ends.length) })
  }

  // letter puts the labels beside their places; one that would lie on another waits until there is room, as when the view comes nearer.
  letter () {
    const host = this.canvas.parentElement; const w = host.clientWidth; const h = host.clientHeight
    const taken = []
    for (const l of this.labels) {
      const p = l.at.clone().add(this.shift(l.about.on)).project(this.camera)
      let x = (p.x + 1) / 2 * w + 8; const y = (1 - p.y) / 2 * h - 10
      const long = l.e.textContent.length * 7.5 + 10
      if (x + long > w && x < w) x = w - long
      const free = this.shown(l.about) && x > 0 && y > 0 && x + long <= w && y + 44 < h && !taken.some(t => Math.abs(t.y - y) < 20 && x < t.x + t.long && t.x < x + long)
      l.e.hidden = !free
      if (!free) continue
      taken.push({ x, y, long })
      l.e.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px)`
    }
  }

  // welds are flat marks on the sheet, seen from both sides: all of a kind one object, as a software renderer draws copies of an
  // object one by one. While the view is turned many of them are drawn solid.
  welds (list) {
    this.byWeld = list
    this.marksOf = []
    const kinds = { tack: [], fill: [], released: [] }
    list.forEach((w, i) => (kinds[w.step] || kinds.fill).push(i))
    for (const [kind, own] of Object.entries(kinds)) {
      if (!own.length) continue
      const made = {}
      const full = () => made.full ??= copies(outline(kind, 1), own.length)
      const light = () => own.length > MANY ? made.light ??= copies(solid(kind, 1), own.length) : full()
      const mesh = new Mesh(light(), new MeshBasicMaterial({ side: DoubleSide, vertexColors: true, polygonOffset: true,
        polygonOffsetFactor: -2, polygonOffsetUnits: -2 }))
      mesh.userData = { welds: own, full, light }
      mesh.frustumCulled = false // its places change
      this.marksOf.push(mesh)
      this.marks.add(mesh)
    }
  }

  // showWelds puts the marks of those welds that are shown in their places; what is pointed out is larger first, darker second.
  showWelds (mesh, keep) {
    const at = mesh.userData.at = []
    mesh.userData.welds.forEach((i, k) => {
      const w = this.byWeld[i]
      if (this.beyond(w.position) || !keep({ weld: i, station: w.station, flange: w.flange, joint: w.joint })) return
      const size = w.weld_diameter * (this.chosen?.has(i) ? 1.7 : 0.9)
      const flat = new Quaternion().setFromUnitVectors(UP, vec(w.axis))
      at.push([k, this.at(w), new Vector3(size, 0, 0).applyQuaternion(flat), new Vector3(0, size, 0).applyQuaternion(flat)])
    })
    this.refresh(mesh)
  }

  // refresh brings the shapes in use up to date; the others wait until they are.
  refresh (mesh) {
    const u = mesh.userData; const g = mesh.geometry = this.resting ? u.full() : u.light()
    if (u.at && g.userData.at !== u.at) { g.userData.at = u.at; put(g, u.at) }
    if (u.colours && g.userData.colours !== u.colours) { g.userData.colours = u.colours; tint(g, u.colours) }
  }

  // show hides all that keep says no to: panels by id, marks by what they are about.
  show (keep) {
    this.shown = keep
    for (const level of [this.panels, this.fine]) for (const p of level.children) p.visible = keep({ panel: p.name })
    for (const l of this.section.children) l.visible = keep(l.userData)
    for (const m of this.marks.children) {
      if (m === this.lines) { this.showLines(keep); continue }
      if (m === this.ties) { this.showTies(keep); continue }
      if (m.userData.welds) this.showWelds(m, keep)
      else m.visible = keep(m.userData) && !(this.share && m.userData.ends?.some(p => this.beyond(p))) // apart, no plane cuts both ends
    }
    this.ask()
  }

  // mark makes some welds stand out.
  mark (welds) {
    this.picked = new Set(welds)
    this.paint()
  }

  // choose points some welds out of all; null: none in particular.
  choose (welds) {
    this.chosen = welds && new Set(welds)
    this.show(this.shown)
    this.paint()
  }

  paint () {
    for (const mesh of this.marksOf) {
      mesh.userData.colours = mesh.userData.welds.map(i => this.picked.has(i) ? this.pick : !this.chosen || this.chosen.has(i) ? this.ink : this.pale)
      this.refresh(mesh)
    }
    this.ask()
  }

  // look turns the view so that places are seen from along an axis and fill the picture.
  look (points, axis) {
    const box = points.length ? new Box3().setFromPoints(points.map(vec)) : this.box
    if (!box || box.isEmpty()) return
    const middle = box.getCenter(new Vector3())
    const size = Math.max(box.getSize(new Vector3()).length(), 60)
    const from = (axis ? vec(axis) : new Vector3(-0.6, -0.7, 0.4)).normalize()
    if (Math.abs(from.z) > 0.99) from.add(new Vector3(0.02, 0.02, 0))
    this.controls.target.copy(middle)
    this.camera.position.copy(middle).addScaledVector(from, 4000)
    this.reach = size * 0.6
    this.camera.zoom = 1
    this.resize()
    this.controls.update()
    this.ask()
  }

  resize () {
    const host = this.canvas.parentElement
    const w = Math.max(host.clientWidth, 1); const h = Math.max(host.clientHeight, 1)
    this.rough(this.moving)
    this.renderer.setSize(w, h, false)
    const r = this.reach || 1000
    const across = w > h ? r * w / h : r
    const up = w > h ? r : r * h / w
    Object.assign(this.camera, { left: -across, right: across, top: up, bottom: -up })
    this.camera.updateProjectionMatrix()
    this.ask()
  }

  // apart moves sub-assemblies, each as a whole, away from the middle by a share of their distance. Marks go with the first sheet of
  // their flange; clamps, dowels and hold points with that of the station's weld next to them.
  apart (share) {
    if (share !== this.share) this.ruler()
    this.share = share
    this.shifts = share && this.box ? this.shiftsBy(share) : {}
    for (const level of [this.panels, this.fine]) for (const p of level.children) p.position.copy(p.userData.home).add(this.shift(p.name))
    if (this.lines) {
      this.moveSpans()
      for (const m of this.marks.children) {
        if ('on' in m.userData) m.position.copy(this.shift(m.userData.on))
        else if (m.userData.end) m.position.copy(this.shift(this.spans[m.userData.end[0]].on?.[m.userData.end[1]]))
      }
    }
    for (const g of [this.gun, this.blocked]) g.position.copy(this.shift(this.gunOn))
    for (const l of this.section.children) l.position.copy(this.shift(l.userData.panel))
    this.clip()
    this.show(this.shown)
  }

  // shiftsBy are the ways of all panels that are there, from the boxes of the coarse ones.
  shiftsBy (share) {
    const middle = this.box.getCenter(new Vector3())
    const group = {}; const boxes = {}
    for (const s of this.data?.subassemblies || []) for (const id of this.within(s)) group[id] ??= s.id
    for (const p of this.panels.children) {
      p.position.copy(p.userData.home)
      const key = group[p.name] ?? p.name
      boxes[key] = (boxes[key] || new Box3()).union(new Box3().setFromObject(p))
    }
    return Object.fromEntries(this.panels.children.map(p =>
      [p.name, boxes[group[p.name] ?? p.name].getCenter(new Vector3()).sub(middle).multiplyScalar(share)]))
  }

  // shift is how far a panel is pulled out of its place.
  shift (panel) { return this.shifts[panel] || STAYS }

  // sheetOf is the sheet that a weld's mark goes with.
  sheetOf (w) { return this.first[w.flange] }

  // at is where the mark is drawn.
  at (w) { return vec(w.position).add(this.shift(this.sheetOf(w))) }

  // within are the panels of a sub-assembly, those of its own sub-assemblies included.
  within (s) {
    return s.parts.flatMap(id => {
      const inner = this.data.subassemblies.find(x => x.id === id)
      return inner ? this.within(inner) : [id]
    })
  }

  // cut hides what lies beyond a plane square to an axis; null shows all.
  cut (axis, at) {
    this.plane = axis ? new Plane(vec(axis).negate(), at) : null
    this.clip()
    this.show(this.shown)
  }

  // clip cuts every panel where the plane meets it in its place, wherever it is pulled to. Welds are left out one by one.
  clip () {
    const by = way => this.plane ? [this.plane.clone().translate(way)] : []
    const cut = (o, way) => { const planes = by(way); o.traverse(x => { if (x.material) x.material.clippingPlanes = planes }) }
    for (const level of [this.panels, this.fine]) for (const p of level.children) cut(p, this.shift(p.name))
    for (const m of this.marks.children) {
      if (m.userData.welds || m === this.lines || this.share && m.userData.ends) m.material.clippingPlanes = []
      else cut(m, 'on' in m.userData ? this.shift(m.userData.on) : STAYS)
    }
  }

  // beyond says whether a place of the shell is cut away.
  beyond (at) { return Boolean(this.plane) && this.plane.distanceToPoint(vec(at)) < 0 }

  // cutLines draws where the plane meets the panels, as the server has worked it out of the panels as they were read.
  cutLines (panels) {
    this.section.clear()
    for (const p of panels) {
      for (const line of p.lines) {
        const l = new Line(new BufferGeometry().setFromPoints(line.map(vec)), new LineBasicMaterial({ color: this.pick, depthTest: false }))
        l.renderOrder = 2
        l.userData = { panel: p.panel }
        l.position.copy(this.shift(p.panel))
        l.visible = this.shown(l.userData)
        this.section.add(l)
      }
    }
    this.ask()
  }

  // pose draws a gun at a weld as bars of a length and a radius; none takes it away.
  pose (bars, weld) {
    this.gun.clear()
    this.gunOn = weld && this.sheetOf(weld)
    for (const g of [this.gun, this.blocked]) g.position.copy(this.shift(this.gunOn))
    for (const b of bars) {
      const from = vec(b.from); const way = vec(b.to).sub(from)
      const g = new CylinderGeometry(b.radius, b.radius, Math.max(way.length(), 0.1), 20)
      const m = new Mesh(g, new MeshLambertMaterial({ color: this.pick, transparent: true, opacity: 0.55 }))
      m.position.copy(from).addScaledVector(way, 0.5)
      m.quaternion.setFromUnitVectors(new Vector3(0, 1, 0), way.normalize())
      this.gun.add(m)
    }
    this.ask()
  }

  // outlines draws poses as thin lines: a list of pairs of places for each; none takes them away.
  outlines (poses) {
    this.blocked.clear()
    for (const pairs of poses) {
      const l = new LineSegments(new BufferGeometry().setFromPoints(pairs.map(vec)), new LineBasicMaterial({ color: this.ink, transparent: true, opacity: 0.7 }))
      this.blocked.add(l)
    }
    this.ask()
  }

  // ruler draws a line from here on a panel to there on another; without points it goes.
  ruler (from, to, panels = []) {
    if (this.rule) this.scene.remove(this.rule)
    this.rule = null
    if (from && to) {
      const ends = [from, to].map((p, i) => vec(p).add(this.shift(panels[i])))
      this.rule = new Line(new BufferGeometry().setFromPoints(ends), new LineBasicMaterial({ color: this.pick, depthTest: false }))
      this.rule.renderOrder = 3
      this.scene.add(this.rule)
    }
    this.ask()
  }

  // grasp takes hold of a clamp under the pointer, which then follows the weld lines until it is let go.
  grasp (e) {
    const at = this.screen(e)
    let least = 14
    for (const m of this.marks.children) {
      if (!m.userData.clamp || !m.visible) continue
      const d = this.off(m.userData.at, at, m.userData.on)
      if (d < least) { least = d; this.held = m }
    }
    if (!this.held) return
    this.controls.enabled = false
    this.canvas.setPointerCapture(e.pointerId)
  }

  drag (e) {
    if (!this.held) return
    const at = this.screen(e)
    let least = 60; let to = null; let on
    for (const r of this.runs) {
      if (!this.shown({ flange: r.flange })) continue
      const panel = this.first[r.flange]
      for (let i = 1; i < r.points.length; i++) {
        const p = this.between(r.points[i - 1], r.points[i], at, panel)
        const d = this.off(p, at, panel)
        if (d < least) { least = d; to = p; on = panel }
      }
    }
    if (!to) return
    this.heldAt = to
    this.held.position.copy(vec(to).add(this.shift(on)).sub(vec(this.held.userData.at)))
    this.ask()
  }

  drop (back) {
    const held = this.held
    if (held && back) { held.position.copy(this.shift(held.userData.on)); this.heldAt = null; this.ask() }
    this.held = null
    this.controls.enabled = true
    if (!held) return false
    if (this.heldAt) this.on.clamp(held.userData.station, held.userData.clamp, this.heldAt)
    this.heldAt = null
    return true
  }

  // screen is a place on the canvas in pixels, off how far a point of a panel lies from it there.
  screen (e) {
    const r = this.canvas.getBoundingClientRect()
    return { x: e.clientX - r.left, y: e.clientY - r.top, w: r.width, h: r.height }
  }

  // between is the place of a straight that looks nearest to one on the canvas.
  between (a, b, at, panel) {
    const [p, q] = [a, b].map(x => vec(x).add(this.shift(panel)).project(this.camera)).map(v => [(v.x + 1) / 2 * at.w, (1 - v.y) / 2 * at.h])
    const u = [q[0] - p[0], q[1] - p[1]]
    const f = Math.min(1, Math.max(0, ((at.x - p[0]) * u[0] + (at.y - p[1]) * u[1]) / (u[0] * u[0] + u[1] * u[1] || 1)))
    return a.map((v, k) => Math.round((v + (b[k] - v) * f) * 1000) / 1000)
  }

  off (point, at, panel) {
    const p = vec(point).add(this.shift(panel)).project(this.camera)
    return Math.hypot((p.x + 1) / 2 * at.w - at.x, (1 - p.y) / 2 * at.h - at.y)
  }

  click (e) {
    const finger = e.pointerType === 'touch' // which is broader than the point of a mouse
    if (!this.down || Math.hypot(e.clientX - this.down[0], e.clientY - this.down[1]) > (finger ? 12 : 4)) return
    const r = this.canvas.getBoundingClientRect()
    const at = new Vector2((e.clientX - r.left) / r.width * 2 - 1, 1 - (e.clientY - r.top) / r.height * 2)
    const weld = this.nearest(at, r, finger ? 24 : 12)
    if (weld >= 0) { this.on.weld(weld); return }
    const ray = new Raycaster()
    ray.setFromCamera(at, this.camera)
    const level = this.fine.visible ? this.fine : this.panels
    const hit = ray.intersectObjects(level.children.filter(p => p.visible), true)
      .find(h => h.object.isMesh && !this.beyond(h.point.clone().sub(this.shift(h.object.userData.panel)).toArray()))
    const id = hit?.object.userData.panel
    if (hit) this.on.panel(id, hit.point.clone().sub(this.shift(id)).toArray()) // in its place of the shell
  }

  // nearest is the weld under the pointer, by its place on the screen: as quick for ten thousand as for one.
  nearest (at, r, within) {
    let best = -1; let least = within
    const p = new Vector3()
    this.byWeld.forEach((w, i) => {
      if (this.beyond(w.position) || !this.shown({ weld: i, station: w.station, flange: w.flange, joint: w.joint })) return
      p.fromArray(w.position).add(this.shift(this.sheetOf(w))).project(this.camera)
      const d = Math.hypot((p.x - at.x) * r.width / 2, (p.y - at.y) * r.height / 2)
      if (d < least) { best = i; least = d }
    })
    return best
  }

  ask () {
    if (this.asked) return
    this.asked = true
    requestAnimationFrame(() => {
      this.asked = false
      this.sun.position.copy(this.camera.position).sub(this.controls.target).add(new Vector3(300, 500, 900))
      const before = performance.now()
      this.renderer.render(this.scene, this.camera)
      this.took = performance.now() - before
      this.letter()
      this.on.drawn(this.renderer.info.render)
    })
  }
}
