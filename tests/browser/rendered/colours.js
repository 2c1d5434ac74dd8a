// Colours as they are painted: parsed, laid over their ground, compared.
// Relative luminance and contrast ratio: WCAG 2.2, "relative luminance" and "contrast ratio".
window.rendered = {}

rendered.parse = text => {
  const figures = (text.match(/-?[\d.]+(e-?\d+)?/g) || []).map(Number)
  if (text.startsWith('color(')) return [...figures.slice(0, 3).map(one => one * 255), figures[3] ?? 1]
  return text.startsWith('rgb') ? [...figures.slice(0, 3), figures[3] ?? 1] : null
}
rendered.over = (top, ground) =>
  [0, 1, 2].map(n => top[n] * top[3] + ground[n] * (1 - top[3])).concat(1)
rendered.luminance = colour => {
  const [r, g, b] = colour.slice(0, 3).map(one => one / 255)
    .map(one => one <= 0.04045 ? one / 12.92 : ((one + 0.055) / 1.055) ** 2.4)
  return 0.2126 * r + 0.7152 * g + 0.0722 * b
}
rendered.ratio = (one, other) => {
  const [low, high] = [one, other].map(rendered.luminance).sort((a, b) => a - b)
  return (high + 0.05) / (low + 0.05)
}

// What an HTML element stands on: every background up to the first that hides the rest.
rendered.ground = element => {
  const layers = []
  for (let one = element; one; one = one.parentElement) {
    const layer = rendered.parse(getComputedStyle(one).backgroundColor)
    if (layer && layer[3] > 0) layers.push(layer)
    if (layer && layer[3] === 1) break
  }
  const canvas = matchMedia('(prefers-color-scheme: dark)').matches ? [18, 18, 18, 1] : [255, 255, 255, 1]
  return layers.reduceRight((ground, layer) => rendered.over(layer, ground), canvas)
}

// What a text inside a picture stands on at one point: its own halo, else the last shape painted
// before it there, else what the picture stands on.
rendered.groundInPicture = (text, point) => {
  const style = getComputedStyle(text)
  if (style.paintOrder.startsWith('stroke') && parseFloat(style.strokeWidth) >= 3)
    return rendered.parse(style.stroke)
  const picture = text.ownerSVGElement
  const shapes = [...picture.querySelectorAll('path, rect, circle, ellipse, polygon')]
    .filter(one => one.checkVisibility() && !one.closest('defs, symbol, clipPath') &&
      one.compareDocumentPosition(text) & Node.DOCUMENT_POSITION_FOLLOWING)
  return shapes.reduce((ground, one) => {
    const fill = rendered.parse(getComputedStyle(one).fill)
    if (!fill || !fill[3]) return ground
    const inside = one.isPointInFill(point.matrixTransform(one.getScreenCTM().inverse()))
    return inside ? rendered.over(fill, ground) : ground
  }, rendered.ground(picture))
}

rendered.isSeen = one => {
  if (!one.checkVisibility({ visibilityProperty: true, opacityProperty: true })) return false
  const box = one.getBoundingClientRect()
  return box.width > 1 && box.height > 1 && box.bottom + scrollY > 0 && box.right + scrollX > 0 &&
    !one.closest('.visually-hidden')
}
// The fixed box that something stands in, which lies over the page; null for the page itself.
rendered.layer = one => {
  for (let up = one; up; up = up.parentElement) if (getComputedStyle(up).position === 'fixed') return up
  return null
}
rendered.name = one => {
  const words = (one.getAttribute('aria-label') || one.innerText || one.textContent || one.name || '').trim()
  const kind = typeof one.className === 'string' && one.className ? '.' + one.className.split(' ').join('.') : ''
  return `${one.localName}${kind} “${words.replace(/\s+/g, ' ').slice(0, 40)}”`
}
