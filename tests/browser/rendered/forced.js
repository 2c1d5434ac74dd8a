// With `forced-colors: active` pictures keep their marks on the system's ground (3:1, WCAG 2.2,
// 1.4.11) and what is chosen still differs from its neighbours in more than colour (1.4.1).
rendered.forced = () => {
  const found = []
  const SHAPES = 'path, rect, circle, ellipse, polygon, polyline, line'
  for (const picture of document.querySelectorAll('svg')) {
    const ground = rendered.ground(picture)
    for (const one of picture.querySelectorAll(SHAPES)) {
      if (!rendered.isSeen(one) && !one.matches('line, polyline, path')) continue
      if (!one.checkVisibility({ visibilityProperty: true }) || one.closest('defs, symbol')) continue
      const style = getComputedStyle(one)
      const inks = [[style.fill, 1], [style.stroke, parseFloat(style.strokeWidth)]]
        .filter(([colour, width]) => colour !== 'none' && width > 0).map(([colour]) => rendered.parse(colour))
        .filter(colour => colour && colour[3] > 0)
      // A fill in the ground's own colour, with no edge, only clears the place it lies on.
      const isGround = colour => rendered.ratio(rendered.over(colour, ground), ground) < 1.01
      if (!inks.length || (inks.length === 1 && style.stroke === 'none' && inks.every(isGround))) continue
      const best = Math.max(...inks.map(ink => rendered.ratio(rendered.over(ink, ground), ground)))
      if (best < 3) found.push(`${one.localName}.${one.getAttribute('class')} in ${rendered.name(picture)} is ${best.toFixed(2)}:1`)
    }
  }
  const look = one => {
    const style = getComputedStyle(one), before = getComputedStyle(one, '::before')
    return [style.borderTopWidth, style.borderBottomWidth, style.borderBottomStyle, style.outlineStyle,
      style.outlineWidth, style.textDecorationLine, style.fontWeight, before.content].join()
  }
  for (const one of document.querySelectorAll('[aria-current], [aria-pressed=true], [aria-selected=true]')) {
    const near = one.parentElement.closest('ul, ol, tr, div')
    const others = [...near.querySelectorAll(one.localName)].filter(other => other !== one && rendered.isSeen(other) &&
      !other.matches('[aria-current], [aria-pressed=true], [aria-selected=true]') && other.className === one.className)
    if (rendered.isSeen(one) && others.length && look(one) === look(others[0]))
      found.push(`${rendered.name(one)} looks like ${rendered.name(others[0])}`)
  }
  return [...new Set(found)]
}
