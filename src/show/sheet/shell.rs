//! What every printed page has in common: its head, its looks on paper and on a screen in the dark.
//!
//! Black on white on paper, nothing told by a hue. On a screen a button turns it to dim red on black, and is
//! remembered where the browser allows it. A page asks for nothing from anywhere else.

use maud::{Markup, PreEscaped, html};

use crate::show::page::document::{Head, document, tidy};

/// A whole file: a title for the browser, the kind of page for its looks, and what stands on it.
pub(super) fn page(title: &str, kind: &str, body: Markup) -> String {
    let head = Head {
        title,
        allowed: "style-src 'unsafe-inline'; script-src 'unsafe-inline'",
        color_scheme: Some("light dark"),
        looks: LOOKS,
        script: Some(REMEMBER),
    };
    let body = html! {
        button #dim type="button" hidden { "Dim red for the dark" }
        main class={ "page " (kind) } { (body) }
        script { (PreEscaped(TOGGLE)) }
    };
    document(&head, body)
}

/// At most so many letters; what is cut off is seen to be.
pub(super) fn clipped(words: &str, most: usize) -> String {
    let words = tidy(words);
    match words.char_indices().nth(most) {
        None => words,
        Some((end, _)) => format!("{}…", words[..end].trim_end()),
    }
}

/// Lengths are the paper's: A4 is 210 by 297 mm. `fit` reckons with the same ones.
const LOOKS: &str = "
@page { size: A4 portrait; margin: 8mm }
:root { --ink: #000; --paper: #fff }
* { box-sizing: border-box; margin: 0; padding: 0 }
html { background: var(--paper); color: var(--ink); -webkit-text-size-adjust: 100% }
body { font: 14pt/16pt 'Liberation Sans', Arimo, Arial, Helvetica, 'Noto Sans', 'DejaVu Sans', sans-serif }
.page { display: flex; flex-direction: column; max-width: 194mm; margin: 0 auto; overflow-wrap: anywhere }
h1, h2, .time { font-size: 24pt; line-height: 27pt; font-weight: bold }
h2, .time { font-variant-numeric: tabular-nums }
bdi { unicode-bidi: isolate }
header { border-bottom: 3pt solid; padding-bottom: 3pt }
.top { display: flex; justify-content: space-between; gap: 12pt }
.top > p { text-align: right; white-space: nowrap }
.note { border-left: 6pt double; padding-left: 6pt; font-weight: bold }
.turn { border-bottom: 1.5pt solid; padding: 3pt 0 }
.turn:last-of-type { border-bottom: 0 }
.head { display: flex; gap: 10pt; align-items: baseline }
.head h2 { flex: 1 }
small { font-size: 14pt; font-weight: normal; display: inline-block; margin-left: 5pt }
.ticks, .tick { white-space: nowrap }
.box { display: inline-block; width: 11pt; height: 11pt; border: 1.2pt solid; vertical-align: -1pt; margin: 0 7pt 0 2pt }
.stop { border: 2pt solid; padding: 1pt 5pt; font-weight: bold }
.more { font-weight: bold; padding: 3pt 0 }
table { border-collapse: collapse; width: 100% }
th, td { border: 1pt solid; padding: 1pt 5pt; text-align: left; vertical-align: middle }
th { overflow-wrap: normal }
.grid { flex: 1; margin-top: 4pt }
.grid th { font-weight: normal; height: 18pt }
.grid td { width: 15% }
.talk { border-top: 1.5pt solid; margin-top: 6pt; padding-top: 3pt }
.talk h3 { font-size: 14pt }
.talk ul { padding-left: 14pt }
.safety { margin-top: auto; border: 2.5pt solid; padding: 3pt 6pt; break-inside: avoid }
.safety li { list-style: none; margin: 0 }
svg { display: block; width: 100%; height: auto; color: var(--ink) }
svg .name { paint-order: stroke; stroke: var(--paper); stroke-width: 4px; stroke-linejoin: round }
.poster h1 { font-size: 28pt; line-height: 36pt; border-bottom: 3pt solid; margin-bottom: 6pt }
.poster .big { font-size: 18pt; line-height: 22pt }
.rows { margin: 8pt 0 }
.row { border-top: 1.5pt solid; padding: 3pt 0; break-inside: avoid }
.row h2 { font-size: var(--name); line-height: 1.2 }
.row h2 span, .row p { font-size: var(--body); line-height: 1.2; font-weight: normal }
.manners { margin: auto 0 8pt; font-size: var(--manners); line-height: 1.2 }
.overview h2 { font-size: 14pt; line-height: 16pt; padding-top: 3pt; break-after: avoid }
.stays { display: none }
.overview p { break-inside: avoid }
.overview ul:not(.safety ul) { margin-left: 16pt }
.overview tr, .overview li { break-inside: avoid }
.overview th, .overview td { padding: 0 4pt }
.overview td.number, .overview th.number { text-align: right; white-space: nowrap; padding: 0 3pt }
.overview .safety { margin-top: 3pt }
#dim { display: block; margin: 8px auto; padding: 8px 16px; font: inherit; color: inherit; background: none; border: 2px solid }
#dim[hidden] { display: none }
@media screen {
  body { padding: 6px }
  html.dim { --ink: #ec0000; --paper: #000; color-scheme: dark }
}
@media screen and (max-width: 640px) {
  h1, h2, .time, .row h2, .poster h1 { font-size: 20pt; line-height: 23pt }
  .poster .big, .row h2 span, .row p, .manners { font-size: 14pt; line-height: 17pt }
  .top, .head { flex-wrap: wrap; gap: 0 10pt }
  .top > p { text-align: left }
  .head h2 { flex: 1 1 60% }
  .ticks { white-space: normal }
  .tick { display: inline-block; margin-right: 4pt }
  .grid th, .grid td { font-size: 11pt; line-height: 13pt; padding: 1pt 2pt; width: auto; overflow-wrap: normal }
  .grid th:first-child { overflow-wrap: anywhere }
  .overview table, .overview tbody { display: block }
  .overview tr { display: grid; grid-template-columns: 1fr 1fr; border-top: 1pt solid; padding: 3pt 0 }
  .overview tr:first-child { display: none }
  .overview td, .overview td.number { border: 0; padding: 0 4pt 0 0; text-align: left; white-space: normal }
  .overview td:first-child, .overview td[colspan] { grid-column: 1 / -1 }
  .overview td.number::before { content: attr(data-label) ' ' }
  .overview td.number { font-size: 12pt; line-height: 15pt }
  .overview svg, .key { display: none }
  .stays { display: block }
}
@media screen and (min-width: 210mm) { .page { min-height: 280mm } }
@media print {
  #dim { display: none }
  .page { min-height: 280mm; max-width: none }
  html, body { background: #fff; color: #000 }
}
";

/// Before anything is drawn, so that no white page flashes up. Storage may be forbidden: then nothing is kept.
const REMEMBER: &str = "
(function () {
  var kept = null;
  try { kept = localStorage.getItem('sheet-dim'); } catch (ignored) {}
  if (kept === 'yes') document.documentElement.classList.add('dim');
})();
";

const TOGGLE: &str = "
(function () {
  var root = document.documentElement, button = document.getElementById('dim');
  function label() {
    var dim = root.classList.contains('dim');
    button.textContent = dim ? 'White, as on paper' : 'Dim red for the dark';
    button.setAttribute('aria-pressed', dim ? 'true' : 'false');
  }
  button.addEventListener('click', function () {
    var dim = root.classList.toggle('dim');
    try { localStorage.setItem('sheet-dim', dim ? 'yes' : 'no'); } catch (ignored) {}
    label();
  });
  label();
  button.hidden = false;
})();
";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_escaped_tidied_and_cut() {
        let page = page("<script>", "station", html! { p { ("<b>&") } });
        assert!(page.contains("<title>&lt;script&gt;</title>"), "{page}");
        assert!(page.contains("<p>&lt;b&gt;&amp;</p>"), "{page}");
        assert_eq!(clipped("Heron", 5), "Heron");
        assert_eq!(clipped("Heron of old", 6), "Heron…");
    }
}
