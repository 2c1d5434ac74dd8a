// With `prefers-reduced-motion: reduce` nothing moves for longer than a hundredth of a second
// (WCAG 2.2, 2.3.3; the bound is the house's).
rendered.motion = () => {
  const seconds = text => Math.max(...text.split(',').map(one => parseFloat(one) * (one.trim().endsWith('ms') ? 0.001 : 1)))
  const long = [...document.querySelectorAll('*')].filter(one => {
    const style = getComputedStyle(one)
    return seconds(style.transitionDuration) > 0.01 || seconds(style.animationDuration) > 0.01 ||
      style.scrollBehavior === 'smooth'
  })
  return [...new Set(long.map(one => `moves: ${rendered.name(one)}`))]
}
