// By keyboard alone: Tab meets everything, in the page's order (WCAG 2.2, 2.1.1, 2.1.2, 2.4.3), and
// shows where it is by an outline or an edge of 2 px and 3:1 (2.4.7, 2.4.13).
rendered.stops = () => {
  const groups = new Set()
  return [...document.querySelectorAll(
    'a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex="0"]')]
    .filter(one => one.tabIndex >= 0 && !one.disabled)
    .filter(one => one.checkVisibility({ visibilityProperty: true }))
    .filter(one => {
      if (one.type !== 'radio') return true
      const isNew = !groups.has(one.name)
      groups.add(one.name)
      return isNew
    })
}
rendered.isShown = one => {
  const outside = rendered.ground(one.parentElement)
  const stands = colour => colour && rendered.ratio(rendered.over(colour, outside), outside) >= 3
  const style = getComputedStyle(one)
  if (style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2 &&
      stands(rendered.parse(style.outlineColor))) return true
  // In a picture the edge of its place takes the outline's part.
  const spot = one.querySelector('.spot'), edge = spot && getComputedStyle(spot)
  return !!edge && parseFloat(edge.strokeWidth) >= 2 && stands(rendered.parse(edge.stroke))
}
// Called once before the first Tab; the number of stops there are now.
rendered.listen = () => {
  rendered.met = []
  rendered.unseen = []
  document.addEventListener('focusin', event => {
    rendered.met.push(event.target)
    if (!rendered.isShown(event.target)) rendered.unseen.push(`focus cannot be seen on ${rendered.name(event.target)}`)
  })
  return rendered.stops().length
}
rendered.left = () => rendered.stops().filter(one =>
  !rendered.met.some(other => one === other || (one.type === 'radio' && other.name === one.name)))
rendered.keys = () => {
  const stops = rendered.stops()
  const missed = rendered.left().map(one => `Tab does not reach ${rendered.name(one)}`)
  const order = [...new Set(rendered.met)].map(one => stops.indexOf(one)).filter(place => place >= 0)
  const back = order.findIndex((place, n) => n && place < order[n - 1])
  const wrong = back > 0
    ? [`Tab goes back from ${rendered.name(stops[order[back - 1]])} to ${rendered.name(stops[order[back]])}`] : []
  return [...new Set([...rendered.unseen, ...missed, ...wrong])]
}

// What lies over an element that has the focus; null where all of it that fits the screen is seen
// (2.4.12). What was opened by hand and is left by Escape may cover it (2.4.11, second note).
rendered.lidOf = one => {
  const boxes = [...one.getClientRects()].filter(box => box.width > 1 && box.height > 1)
  const points = boxes.flatMap(box => [0.5, 6 / box.width, 1 - 6 / box.width].flatMap(x =>
    [0.5, 6 / box.height, 1 - 6 / box.height].map(y => [box.left + box.width * x, box.top + box.height * y])))
    .filter(([x, y]) => x >= 0 && y >= 0 && x < innerWidth && y < innerHeight)
  if (!points.length) return document.documentElement
  const label = one.labels && one.labels[0]
  return points.map(([x, y]) => document.elementFromPoint(x, y)).find(met => met &&
    !one.contains(met) && !met.contains(one) && !(label && label.contains(met)) && !met.closest('.pad:not([hidden])')) || null
}
// Sides of the focus's mark that a box which cuts what leaves it lets through.
rendered.sidesShown = (one, cutting) => {
  const style = getComputedStyle(one), out = parseFloat(style.outlineWidth) + parseFloat(style.outlineOffset)
  const box = one.getBoundingClientRect()
  const sides = { left: box.left - out, right: box.right + out, top: box.top - out, bottom: box.bottom + out }
  for (const up of cutting) {
    if (up === one || !up.contains(one)) continue
    const cut = up.getBoundingClientRect()
    for (const name of ['left', 'top']) if (sides[name] < cut[name] - 1) delete sides[name]
    for (const name of ['right', 'bottom']) if (sides[name] > cut[name] + 1) delete sides[name]
  }
  return Object.keys(sides).length
}
// The next stop stands after the one before it: below, or beside it on the right (1.3.2, 2.4.3).
rendered.reads = (a, b) => {
  const shared = (low, high, from, to, least) => Math.min(high, to) - Math.max(low, from) > least / 2
  if (b.bottom <= a.top + 4) return !shared(a.left, a.right, b.left, b.right, Math.min(a.width, b.width))
  if (b.right <= a.left + 4) return !shared(a.top, a.bottom, b.top, b.bottom, Math.min(a.height, b.height))
  return true
}
// All stops of a page, one after another as Tab takes them. Press Tab once before: what a script
// focuses shows as keys would show it only while keys are at work.
rendered.walk = () => {
  const stops = rendered.stops(), found = []
  for (const one of document.querySelectorAll('[tabindex]')) if (one.tabIndex > 0) found.push(`${rendered.name(one)} steps out of the order`)
  for (const one of document.querySelectorAll('[role=button], [role=link], [role=checkbox], [role=tab], [onclick]'))
    if (!one.matches('a[href], button, input, summary')) found.push(`Enter does nothing on ${rendered.name(one)}`)
  const all = [...document.querySelectorAll('main, main *, header *, footer *')]
  const cutting = all.filter(one => getComputedStyle(one).overflowX !== 'visible' && !one.closest('svg'))
  const loose = all.filter(one => getComputedStyle(one).position === 'fixed')
  const flow = stops.filter(one => !one.matches('.skip') && !loose.some(up => up.contains(one)))
  const boxes = flow.map(one => one.getBoundingClientRect())
  flow.forEach((one, n) => {
    if (n && !rendered.reads(boxes[n - 1], boxes[n])) found.push(`Tab goes back from ${rendered.name(flow[n - 1])} to ${rendered.name(one)}`)
  })
  for (const one of stops) {
    one.focus()
    if (document.activeElement !== one) { found.push(`${rendered.name(one)} takes no focus`); continue }
    if (!rendered.isShown(one)) found.push(`focus cannot be seen on ${rendered.name(one)}`)
    else if (!one.closest('svg') && rendered.sidesShown(one, cutting) < 3) found.push(`the mark of the focus is cut on ${rendered.name(one)}`)
    const over = rendered.lidOf(one)
    if (over) found.push(`${rendered.name(one)} has the focus under ${over === document.documentElement ? 'the edge of the screen' : rendered.name(over)}`)
    const tab = new KeyboardEvent('keydown', { key: 'Tab', bubbles: true, cancelable: true })
    if (!one.dispatchEvent(tab)) found.push(`Tab is held on ${rendered.name(one)}`)
  }
  if (document.activeElement) document.activeElement.blur()
  for (const one of cutting) one.scrollTo(0, 0)
  scrollTo(0, 0)
  return [...new Set(found)]
}
