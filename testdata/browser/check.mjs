// Opens pages in Chromium and checks what a reader meets: at three widths, light and
// dark, nothing wider than the screen, no message on the console, no request but for
// the page itself, no script that is brought in, no picture's type under 11 pixels, nothing that axe-core has to say
// about WCAG 2.2 AA; printed on A4 and Letter, few pages whose text can be searched.
// Usage: node check.mjs FOLDER-FOR-PICTURES PAGE...
import { execFileSync } from 'node:child_process'
import { mkdirSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { basename, dirname, join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { chromium } from 'playwright-core'

const require = createRequire(import.meta.url)
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8')
const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']
const [pictures, ...pages] = process.argv.slice(2)
if (pages.length === 0) throw new Error('usage: node check.mjs FOLDER-FOR-PICTURES PAGE...')
mkdirSync(pictures, { recursive: true })

let faults = 0
const fault = (where, what) => { faults++; console.error(`${where}: ${what}`) }

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM || '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
    '--disable-component-update', '--disable-sync'],
})

// open opens a page and takes down what it says and asks for.
async function open (file, options) {
  const context = await browser.newContext(options)
  const page = await context.newPage()
  const said = []
  const address = pathToFileURL(file).href
  page.on('console', m => said.push(`console: ${m.text()}`))
  page.on('pageerror', e => said.push(`error: ${e.message}`))
  page.on('request', r => { if (r.url() !== address) said.push(`asks for ${r.url()}`) })
  await page.goto(address)
  return { context, page, said }
}

for (const file of pages) {
  const name = [basename(dirname(file)), basename(file, '.html')].join('-')
  for (const scheme of ['light', 'dark']) {
    for (const width of [360, 768, 1280]) {
      const where = `${name}, ${scheme}, ${width} px`
      const { context, page, said } = await open(file, { viewport: { width, height: 900 }, colorScheme: scheme })
      const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
      if (over > 0) fault(where, `${over} px wider than the screen`)
      await page.screenshot({ path: join(pictures, `${name}-${scheme}-${width}.png`), fullPage: true })
      if (basename(file) === 'library.html') {
        for (const [by, of] of [['#by-hold', k => `tbody.${k} tr.claim`], ['#by-verdict', k => `tr.claim.${k}`]]) {
          for (const k of await page.locator(`${by} option`).evaluateAll(list => list.map(o => o.value).filter(v => v))) {
            await page.selectOption(by, k)
            const [shown, wanted] = [await page.locator('tr.claim:visible').count(), await page.locator(of(k)).count()]
            if (shown !== wanted || wanted === 0) fault(where, `${by} ${k}: ${shown} claims are shown, ${wanted} are of it`)
          }
          await page.selectOption(by, '')
        }
      }
      // What is folded away is read too.
      await page.evaluate(() => document.querySelectorAll('details').forEach(d => { d.open = true }))
      const unfolded = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
      if (unfolded > 0) fault(where, `${unfolded} px wider than the screen once all is unfolded`)
      // A picture's type is as large as it is drawn.
      const small = width > 360 ? [] : await page.evaluate(least => [...document.querySelectorAll('figure svg text')].flatMap(t => {
        const box = t.getBoundingClientRect()
        const size = parseFloat(getComputedStyle(t).fontSize) * t.getScreenCTM().a
        return box.width > 0 && size < least - 0.01 ? [`${t.closest('svg').id}: “${t.textContent}” is ${size.toFixed(1)} px`] : []
      }), 11)
      if (small.length > 0) fault(where, `${small.length} texts of pictures under 11 px, first ${small[0]}`)
      await page.evaluate(axe)
      const found = await page.evaluate(only => window.axe.run(document, { runOnly: { type: 'tag', values: only } }), tags)
      if (found.passes.length < 10) fault(where, `axe-core looked at ${found.passes.length} rules only`)
      for (const v of found.violations) {
        fault(where, `${v.id}: ${v.help}; ${v.nodes.length} times, first ${v.nodes[0].target} (${v.nodes[0].failureSummary.replace(/\s+/g, ' ')})`)
      }
      for (const line of said.splice(0)) fault(where, line)
      // The page's own policy stands in the way of a script, had a text brought one in.
      const ran = await page.evaluate(() => {
        const script = document.createElement('script')
        script.textContent = 'window.ran = true'
        document.body.append(script)
        return window.ran === true
      })
      if (ran) fault(where, 'a script that was brought in is run')
      await context.close()
    }
  }
  for (const format of ['A4', 'Letter']) {
    const where = `${name}, printed on ${format}`
    const { context, page } = await open(file, { colorScheme: 'dark' })
    const pdf = join(pictures, `${name}-${format}.pdf`)
    const [heading, cautions] = await page.evaluate(() => ['h1', '#cautions'].map(of => document.querySelector(of).textContent.trim()))
    await page.pdf({ path: pdf, format, preferCSSPageSize: false, printBackground: true })
    const text = execFileSync('pdftotext', ['-layout', pdf, '-'], { maxBuffer: 1 << 26 }).toString()
    const sheets = text.split('\f').length - 1
    const most = format === 'A4' && !file.includes('many-models') ? 5 : 6
    if (sheets < 2 || sheets > most) fault(where, `${sheets} pages, 2 to ${most} are sane`)
    const flat = text.replace(/\s+/g, ' ')
    for (const words of [heading, cautions, 'CC BY 4.0']) {
      if (!flat.includes(words)) fault(where, `the text “${words}” cannot be found`)
    }
    for (const [k, sheet] of text.split('\f').slice(0, -1).entries()) {
      if (sheet.trim() === '') fault(where, `page ${k + 1} is empty`)
    }
    await context.close()
  }
}
await browser.close()
if (faults > 0) {
  console.error(`${faults} faults`)
  process.exit(1)
}
console.log(`${pages.length} pages: 3 widths, light and dark, A4 and Letter: no fault`)
