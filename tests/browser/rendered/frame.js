// The frame of a page: one first heading, a title, a language, nothing to push sideways except a
// box of its own that keys can reach (WCAG 2.2, 1.3.1, 2.4.2, 3.1.1, 1.4.10, 2.1.1); nothing cut.
rendered.frame = () => {
  const found = []
  const headings = [...document.querySelectorAll('h1')].filter(rendered.isSeen)
  if (headings.length !== 1) found.push(`${headings.length} first headings`)
  if (!document.title.trim() || document.title.trim().startsWith('·')) found.push('no title')
  if (!document.documentElement.lang) found.push('no language')
  const root = document.documentElement
  if (root.scrollWidth > root.clientWidth) {
    const wide = [...document.body.querySelectorAll('*')].filter(rendered.isSeen)
      .filter(one => one.getBoundingClientRect().right + scrollX > root.clientWidth + 0.5 && !one.closest('.scroll *'))
    found.push(`the page is ${root.scrollWidth - root.clientWidth} px too wide: ${wide.slice(-3).map(rendered.name)}`)
  }
  for (const one of document.body.querySelectorAll('*')) {
    if (!rendered.isSeen(one) || one.closest('svg') || one.matches('input, select, textarea')) continue
    const style = getComputedStyle(one)
    const isWide = one.scrollWidth > one.clientWidth + 1
    if (['auto', 'scroll'].includes(style.overflowX) && isWide && one !== root) {
      const inside = one.querySelector('a[href], button, input, select, textarea, summary, [tabindex="0"]')
      if (one.tabIndex < 0 && !inside) found.push(`keys do not reach the wide ${rendered.name(one)}`)
    }
    if (['hidden', 'clip'].includes(style.overflowX) && isWide && one.innerText.trim())
      found.push(`cut: ${rendered.name(one)}`)
    if (['hidden', 'clip'].includes(style.overflowY) && one.scrollHeight > one.clientHeight + 1 && one.innerText.trim())
      found.push(`cut below: ${rendered.name(one)}`)
  }
  return found
}

// Texts that lie on each other, and texts that leave the page (WCAG 2.2, 1.4.4 and 1.4.10).
rendered.overlaps = () => {
  const texts = []
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  while (walker.nextNode()) {
    const node = walker.currentNode, one = node.parentElement
    if (!node.data.trim() || one.closest('script, noscript, option, select, svg') || !rendered.isSeen(one)) continue
    const range = document.createRange()
    range.selectNodeContents(node)
    for (const box of range.getClientRects()) if (box.width > 1) texts.push({ one, box })
  }
  const found = []
  texts.sort((a, b) => a.box.top - b.box.top)
  texts.forEach((a, n) => {
    for (const b of texts.slice(n + 1)) {
      if (b.box.top > a.box.bottom) break
      if (a.one === b.one) continue
      const wide = Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left)
      const high = Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top)
      if (wide > 3 && high > 8 && rendered.layer(a.one) === rendered.layer(b.one)) found.push(`${rendered.name(a.one)} lies on ${rendered.name(b.one)}`)
    }
  })
  return [...new Set(found)]
}

// What stays on the screen while the page scrolls lies on it whole, or scrolls within itself (1.4.10).
rendered.fixed = () => [...document.querySelectorAll('body *')].filter(one =>
  getComputedStyle(one).position === 'fixed' && rendered.isSeen(one)).filter(one => {
  const box = one.getBoundingClientRect()
  return box.top < -1 || box.left < -1 || box.bottom > innerHeight + 1 || box.right > innerWidth + 1
}).map(one => `${rendered.name(one)} reaches off the screen`)

// What can be acted on, by its words: none of it may be gone at another size (1.4.4, 1.4.10).
rendered.controls = () => [...new Set([...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary, h1, h2')]
  .filter(rendered.isSeen).map(one => one.closest('svg') ? one.getAttribute('href') : one.id || rendered.name(one)))]

// The main act can be brought into view and nothing lies over it.
rendered.mainAct = () => [...document.querySelectorAll('main .main')].filter(rendered.isSeen).filter(one => {
  one.scrollIntoView({ block: 'center' })
  const box = one.getBoundingClientRect()
  const met = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2)
  // The open pad has a key of its own for the act.
  const pad = met && met.closest('.pad:not([hidden])')
  return !met || !(one.contains(met) || met.contains(one) || (pad && [...pad.querySelectorAll('.main')].some(rendered.isSeen)))
}).map(one => `the main act ${rendered.name(one)} is covered`)
