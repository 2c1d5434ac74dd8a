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
