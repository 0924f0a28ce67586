// The picture: panels, weld lines, welds, fixtures. It is drawn when something changes, never in a loop.
import {
  AmbientLight, Box3, BufferGeometry, Color, CylinderGeometry, DirectionalLight, DoubleSide, Group, InstancedMesh, LineBasicMaterial,
  LineSegments, Line, LineLoop, Matrix4, Mesh, MeshBasicMaterial, MeshLambertMaterial, OrthographicCamera, Plane, Quaternion, Raycaster,
  Scene, Shape, ShapeGeometry, Vector2, Vector3, WebGLRenderer
} from 'three'
import { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js'
import { GLTFLoader } from 'three/examples/jsm/loaders/GLTFLoader.js'

const UP = new Vector3(0, 0, 1)

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
  return new ShapeGeometry(s, 4)
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
    this.marks = new Group()
    this.section = new Group() // lines of a cut
    this.gun = new Group()
    this.scene.add(this.panels, this.fine, this.marks, this.section, this.gun)
    this.byWeld = []
    this.picked = new Set()
    this.chosen = null // welds that are pointed out; null: none in particular
    this.share = 0
    this.lookup = new Map()
    this.shown = () => true
    canvas.addEventListener('webglcontextlost', e => { e.preventDefault(); on.lost() })
    canvas.addEventListener('pointerdown', e => { this.down = [e.clientX, e.clientY]; this.grasp(e) })
    canvas.addEventListener('pointermove', e => this.drag(e))
    canvas.addEventListener('pointerup', e => { if (!this.drop()) this.click(e) })
    canvas.addEventListener('pointercancel', () => this.drop())
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
    this.marks.traverse(o => { if (o.material && !o.isInstancedMesh) o.material.color.copy(this.ink) })
    this.paint()
  }

  // load fetches the panels to turn, and where finer ones are to be had once the view rests.
  async load (url, finer) {
    this.finer = finer
    this.fine.clear()
    await this.fill(this.panels, url)
    this.box = new Box3().setFromObject(this.panels)
    this.place()
    this.turning(false)
  }

  async fill (level, url) {
    const gltf = await new GLTFLoader().loadAsync(url)
    level.clear()
    for (const node of [...gltf.scene.children]) {
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
    if (now) { this.level(false); return }
    this.rest = setTimeout(async () => {
      if (!this.finer) return
      if (!this.fine.children.length) {
        const url = this.finer
        try { await this.fill(this.fine, url) } catch (e) { this.finer = ''; this.on.coarse(e.message); return }
        if (url !== this.finer) return
        this.place()
      }
      this.level(true)
    }, 700)
  }

  level (fine) {
    const has = this.fine.children.length > 0
    this.fine.visible = fine && has
    this.panels.visible = !this.fine.visible
    this.ask()
  }

  // place puts panels where they are pulled to, hides what is not shown, and cuts.
  place () {
    this.apart(this.share)
    this.show(this.shown)
    this.clip()
  }

  // plan draws what was decided.
  plan (plan) {
    this.data = plan
    this.marks.clear()
    this.gun.clear()
    this.lookup.clear()
    this.chosen = null
    for (const f of plan.flanges) this.line(f.line.map(p => p.at), f.closed, { flange: f.id })
    for (const s of plan.seams) this.line(s.path, s.closed, { seam: s.id })
    this.welds(plan.welds)
    for (const st of plan.stations) {
      for (const c of st.clamps || []) this.cross(c.at, c.radius / 2, { station: st.id, clamp: c.id, at: c.at }, true)
      for (const d of st.dowels || []) this.cross(d.at, d.radius, { station: st.id, dowel: d.id }, false)
      for (const h of st.hold_points || []) {
        if (h.to && (h.to[0] || h.to[1] || h.to[2])) this.line([h.at, h.to], false, { station: st.id, hold: h.id })
        this.cross(h.at, 9, { station: st.id, hold: h.id }, false)
      }
    }
    this.show(this.shown)
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

  // welds are flat marks on the sheet, one instance each, on both faces.
  welds (list) {
    this.byWeld = list
    const kinds = { tack: [], fill: [], released: [] }
    list.forEach((w, i) => (kinds[w.step] || kinds.fill).push(i))
    for (const kind of Object.keys(kinds)) {
      const own = kinds[kind]
      if (!own.length) continue
      const mesh = new InstancedMesh(outline(kind, 1), new MeshBasicMaterial({ side: DoubleSide }), own.length)
      mesh.userData = { welds: own, kind }
      const m = new Matrix4()
      own.forEach((at, k) => {
        const w = list[at]
        const n = vec(w.axis)
        m.compose(vec(w.position), new Quaternion().setFromUnitVectors(UP, n), new Vector3(1, 1, 1).multiplyScalar(w.weld_diameter * 0.9))
        mesh.setMatrixAt(k, m)
        mesh.setColorAt(k, this.ink)
        this.lookup.set(at, [mesh, k])
      })
      mesh.material.polygonOffset = true
      mesh.material.polygonOffsetFactor = -2
      mesh.material.polygonOffsetUnits = -2
      this.marks.add(mesh)
    }
  }

  // show hides all that keep says no to: panels by id, marks by what they are about.
  show (keep) {
    this.shown = keep
    for (const level of [this.panels, this.fine]) for (const p of level.children) p.visible = keep({ panel: p.name })
    const gone = new Matrix4().makeScale(0, 0, 0)
    for (const m of this.marks.children) {
      if (!m.isInstancedMesh) { m.visible = keep(m.userData); continue }
      m.userData.welds.forEach((at, k) => {
        const w = this.byWeld[at]
        if (keep({ weld: at, station: w.station, flange: w.flange, joint: w.joint })) {
          const size = this.chosen?.has(at) ? 1.7 : 0.9 // what is pointed out is larger first, darker second
          const f = new Matrix4().compose(vec(w.position), new Quaternion().setFromUnitVectors(UP, vec(w.axis)),
            new Vector3(1, 1, 1).multiplyScalar(w.weld_diameter * size))
          m.setMatrixAt(k, f)
        } else m.setMatrixAt(k, gone)
      })
      m.instanceMatrix.needsUpdate = true
      m.computeBoundingSphere()
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
    for (const [at, [mesh, k]] of this.lookup ?? []) {
      mesh.setColorAt(k, this.picked.has(at) ? this.pick : !this.chosen || this.chosen.has(at) ? this.ink : this.pale)
      mesh.instanceColor.needsUpdate = true
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
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2))
    this.renderer.setSize(w, h, false)
    const r = this.reach || 1000
    const across = w > h ? r * w / h : r
    const up = w > h ? r : r * h / w
    Object.assign(this.camera, { left: -across, right: across, top: up, bottom: -up })
    this.camera.updateProjectionMatrix()
    this.ask()
  }

  // apart moves panels away from the middle by a share of their distance.
  apart (share) {
    this.share = share
    if (!this.box) return
    const middle = this.box.getCenter(new Vector3())
    for (const level of [this.panels, this.fine]) {
      for (const p of level.children) {
        p.position.copy(p.userData.home)
        const own = new Box3().setFromObject(p).getCenter(new Vector3())
        p.position.addScaledVector(own.sub(middle), share)
      }
    }
    this.ask()
  }

  // cut hides what lies beyond a plane square to an axis; null shows all.
  cut (axis, at) {
    this.plane = axis ? new Plane(vec(axis).negate(), at) : null
    this.clip()
    this.ask()
  }

  clip () {
    const planes = this.plane ? [this.plane] : []
    for (const g of [this.panels, this.fine, this.marks]) g.traverse(o => { if (o.material) o.material.clippingPlanes = planes })
  }

  // cutLines draws where the plane meets the panels, as the server has worked it out of the panels as they were read.
  cutLines (panels) {
    this.section.clear()
    for (const p of panels) {
      for (const line of p.lines) {
        const l = new Line(new BufferGeometry().setFromPoints(line.map(vec)), new LineBasicMaterial({ color: this.pick, depthTest: false }))
        l.renderOrder = 2
        l.userData = { panel: p.panel }
        this.section.add(l)
      }
    }
    this.ask()
  }

  // pose draws a gun as bars of a length and a radius; none takes it away.
  pose (bars) {
    this.gun.clear()
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

  // ruler draws a line from here to there; without points it goes.
  ruler (from, to) {
    if (this.rule) this.scene.remove(this.rule)
    this.rule = null
    if (from && to) {
      this.rule = new Line(new BufferGeometry().setFromPoints([vec(from), vec(to)]), new LineBasicMaterial({ color: this.pick, depthTest: false }))
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
      const d = this.off(m.userData.at, at)
      if (d < least) { least = d; this.held = m }
    }
    if (!this.held) return
    this.controls.enabled = false
    this.canvas.setPointerCapture(e.pointerId)
  }

  drag (e) {
    if (!this.held) return
    const at = this.screen(e)
    let least = 60; let to = null
    for (const f of this.data.flanges) {
      if (!this.shown({ flange: f.id })) continue
      for (const p of f.line) {
        const d = this.off(p.at, at)
        if (d < least) { least = d; to = p.at }
      }
    }
    if (!to) return
    this.heldAt = to
    const was = vec(this.held.userData.at)
    this.held.position.copy(vec(to).sub(was))
    this.ask()
  }

  drop () {
    const held = this.held
    this.held = null
    this.controls.enabled = true
    if (!held) return false
    if (this.heldAt) this.on.clamp(held.userData.station, held.userData.clamp, this.heldAt)
    this.heldAt = null
    return true
  }

  // screen is a place on the canvas in pixels, off how far a point of the shell lies from it there.
  screen (e) {
    const r = this.canvas.getBoundingClientRect()
    return { x: e.clientX - r.left, y: e.clientY - r.top, w: r.width, h: r.height }
  }

  off (point, at) {
    const p = vec(point).project(this.camera)
    return Math.hypot((p.x + 1) / 2 * at.w - at.x, (1 - p.y) / 2 * at.h - at.y)
  }

  click (e) {
    if (!this.down || Math.hypot(e.clientX - this.down[0], e.clientY - this.down[1]) > 4) return
    const r = this.canvas.getBoundingClientRect()
    const at = new Vector2((e.clientX - r.left) / r.width * 2 - 1, 1 - (e.clientY - r.top) / r.height * 2)
    const weld = this.nearest(at, r)
    if (weld >= 0) { this.on.weld(weld); return }
    const ray = new Raycaster()
    ray.setFromCamera(at, this.camera)
    const level = this.fine.visible ? this.fine : this.panels
    const hit = ray.intersectObjects(level.children.filter(p => p.visible), true).find(h => h.object.isMesh)
    if (hit) this.on.panel(hit.object.userData.panel, hit.point.toArray())
  }

  // nearest is the weld under the pointer, by its place on the screen: as quick for ten thousand as for one.
  nearest (at, r) {
    let best = -1; let least = 12
    const p = new Vector3()
    this.byWeld.forEach((w, i) => {
      if (!this.shown({ weld: i, station: w.station, flange: w.flange, joint: w.joint })) return
      p.fromArray(w.position).project(this.camera)
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
      this.on.drawn(this.renderer.info.render)
    })
  }
}
