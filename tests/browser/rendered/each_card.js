// A form card by card: each card is brought up by its own button and held to what a page is held to.
rendered.cards = () => {
  const found = []
  const next = document.querySelector('.step-next')
  for (let card = 1; card < 40; card++) {
    document.querySelectorAll('details').forEach(one => { one.open = true })
    for (const check of ['frame', 'targets', 'contrast', 'overlaps', 'mainAct', 'fixed'])
      found.push(...rendered[check]().map(one => `card ${card}: ${check}: ${one}`))
    const shown = [...document.querySelectorAll('main .main')].filter(rendered.isSeen)
    if (shown.length !== 1) found.push(`card ${card}: ${shown.length} main acts`)
    if (!next || !rendered.isSeen(next)) break
    next.click()
  }
  return found
}
