// Text against its ground: 4.5:1, large text 3:1 (WCAG 2.2, 1.4.3); the edge of a control against
// what it stands on: 3:1 (1.4.11). Large: 24 px, or 18.66 px and bold (18 pt and 14 pt there).
rendered.contrast = () => {
  const found = []
  const tell = (one, ratio, least) => {
    if (ratio < least) found.push(`${rendered.name(one)} ${ratio.toFixed(2)}:1, needs ${least}:1`)
  }
  const least = style => {
    const size = parseFloat(style.fontSize)
    return size >= 24 || (size >= 18.66 && style.fontWeight >= 700) ? 3 : 4.5
  }
  const faded = one => {
    let opacity = 1
    for (let up = one; up; up = up.parentElement) opacity *= getComputedStyle(up).opacity
    return opacity
  }
  const ink = (one, colour, ground) =>
    rendered.over([...colour.slice(0, 3), colour[3] * faded(one)], ground)

  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  while (walker.nextNode()) {
    const node = walker.currentNode, one = node.parentElement
    if (!node.data.trim() || one.closest('script, noscript, option, :disabled') || !rendered.isSeen(one)) continue
    const style = getComputedStyle(one)
    const picture = one.closest('svg text')
    const range = document.createRange()
    range.selectNodeContents(node)
    const box = range.getBoundingClientRect()
    const points = [0.05, 0.5, 0.95].map(part => new DOMPoint(box.left + box.width * part, box.top + box.height / 2))
    const grounds = picture ? points.map(point => rendered.groundInPicture(picture, point)) : [rendered.ground(one)]
    const colour = rendered.parse(picture ? style.fill : style.color)
    const ratios = grounds.map(ground => rendered.ratio(ink(one, colour, ground), ground))
    tell(one, Math.min(...ratios), least(style))
  }
  for (const one of document.querySelectorAll('input, select, textarea, button, .button')) {
    if (!rendered.isSeen(one) || one.matches('[type=checkbox], [type=radio], :disabled')) continue
    const style = getComputedStyle(one), own = rendered.ground(one), outside = rendered.ground(one.parentElement)
    if (one.matches('input, select, textarea')) tell(one, rendered.ratio(ink(one, rendered.parse(style.color), own), own), least(style))
    const edge = rendered.over(rendered.parse(style.borderTopColor), outside)
    const border = parseFloat(style.borderTopWidth) >= 1 ? rendered.ratio(edge, outside) : 1
    tell(one, Math.max(border, rendered.ratio(own, outside)), 3)
  }
  return [...new Set(found)]
}
