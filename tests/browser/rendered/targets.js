// What a finger meets: 44 by 44 CSS px (WCAG 2.2, 2.5.5, with its exception for a link within a
// sentence), 60 px for the main act and 12 px between two of them (the house's own rule).
rendered.targets = () => {
  const found = []
  // A link of a sentence: other words flow on in the same block right beside it.
  const inSentence = one => {
    if (one.localName !== 'a' || one.closest('svg') || !getComputedStyle(one).display.startsWith('inline')) return false
    if (getComputedStyle(one).display === 'inline-flex') return false
    const words = node => node && node.nodeType === Node.TEXT_NODE && /[a-z]{2,}/i.test(node.data)
    return words(one.previousSibling) || words(one.nextSibling)
  }
  const boxes = one => {
    const label = one.matches('[type=checkbox], [type=radio]') && one.labels[0]
    const rects = [...one.getClientRects(), ...(label ? label.getClientRects() : [])]
      .filter(box => box.width > 1 && box.height > 1)
    if (!label) return rects
    const left = Math.min(...rects.map(box => box.left)), top = Math.min(...rects.map(box => box.top))
    return [new DOMRect(left, top, Math.max(...rects.map(box => box.right)) - left, Math.max(...rects.map(box => box.bottom)) - top)]
  }
  const all = [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary')]
    .filter(one => rendered.isSeen(one) && !one.closest('.skip') && !inSentence(one))
    .map(one => ({ one, boxes: boxes(one), layer: rendered.layer(one) }))
  for (const { one, boxes } of all) {
    const width = Math.max(...boxes.map(box => box.width)), height = Math.max(...boxes.map(box => box.height))
    const said = `${width.toFixed(0)}x${height.toFixed(0)}`
    if (width < 43.5 || height < 43.5) found.push(`${rendered.name(one)} is ${said}`)
    if (one.matches('.main') && height < 59.5) found.push(`main act ${rendered.name(one)} is ${said}`)
  }
  const apart = (a, b) => Math.hypot(
    Math.max(0, b.left - a.right, a.left - b.right), Math.max(0, b.top - a.bottom, a.top - b.bottom))
  all.forEach((a, n) => all.slice(n + 1).forEach(b => {
    if (a.layer !== b.layer || a.one.contains(b.one) || b.one.contains(a.one)) return
    const gap = Math.min(...a.boxes.flatMap(one => b.boxes.map(other => apart(one, other))))
    if (gap < 11.5) found.push(`${rendered.name(a.one)} and ${rendered.name(b.one)} are ${gap.toFixed(1)} apart`)
  }))
  return found
}
