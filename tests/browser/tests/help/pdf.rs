//! What the browser would print, read back from its PDF: the pages and the words
//! on each (ISO 32000-1, 7.3.8, 9.4.3 and 9.10.3; from memory).
#![allow(dead_code, reason = "each test file uses its own part of it")]

use super::notebook::base64;
use browser_tests::{Outcome, Page, json};
use std::path::PathBuf;

/// A4, in inches.
pub const A4: (f64, f64) = (8.27, 11.69);
/// Letter.
pub const LETTER: (f64, f64) = (8.5, 11.0);

/// A print.
pub struct Paper {
    /// The file.
    pub bytes: Vec<u8>,
    /// The words of each page, in the order they are drawn.
    pub pages: Vec<String>,
    /// How many thin things are drawn, such as lines to write on.
    pub lines: usize,
}

impl Paper {
    /// All words.
    pub fn text(&self) -> String {
        self.pages.join("\n")
    }
}

/// Reads a PDF as this browser writes it: objects that are not packed, streams
/// that are, glyphs with two bytes and a table of what they stand for. What is
/// read gives for each page its words, with a line break where the place moves
/// down, and the number of areas filled that are less than two points high.
const READ: &str = "const bytes = Uint8Array.from(atob(arguments[0]), (c) => c.charCodeAt(0));
    const raw = new TextDecoder('latin1').decode(bytes);
    const objects = new Map();
    for (const m of raw.matchAll(/(?:^|\\n)(\\d+) 0 obj\\n/g)) objects.set(m[1], m.index + m[0].length);
    const head = (id) => {
        const from = objects.get(id);
        const ends = ['stream\\n', 'endobj'].map((w) => raw.indexOf(w, from)).filter((n) => n > 0);
        return raw.slice(from, Math.min(...ends));
    };
    const stream = async (id) => {
        const size = Number(head(id).match(/\\/Length (\\d+)/)[1]);
        const from = raw.indexOf('stream\\n', objects.get(id)) + 7;
        const packed = new Blob([bytes.subarray(from, from + size)]).stream();
        return new Response(packed.pipeThrough(new DecompressionStream('deflate'))).text();
    };
    const letters = async (font) => {
        const table = await stream(head(font).match(/\\/ToUnicode (\\d+) 0 R/)[1]);
        const known = new Map(), n = (h) => parseInt(h, 16);
        const words = (h) => String.fromCharCode(...h.match(/.{4}/g).map(n));
        for (const [, body] of table.matchAll(/beginbfchar\\n([^]*?)endbfchar/g)) {
            for (const [, from, to] of body.matchAll(/<(\\w+)> <(\\w+)>/g)) known.set(n(from), words(to));
        }
        for (const [, body] of table.matchAll(/beginbfrange\\n([^]*?)endbfrange/g)) {
            for (const [, from, to, as] of body.matchAll(/<(\\w+)> <(\\w+)> <(\\w+)>/g)) {
                for (let c = n(from); c <= n(to); c++) known.set(c, String.fromCharCode(n(as) + c - n(from)));
            }
        }
        return known;
    };
    return (async () => {
        const tree = [...objects.keys()].map(head).find((h) => h.includes('/Type /Pages'));
        const pages = [];
        let lines = 0;
        for (const [, id] of tree.match(/\\/Kids \\[([^\\]]*)/)[1].matchAll(/(\\d+) 0 R/g)) {
            const fonts = new Map();
            for (const [, name, font] of head(id).matchAll(/\\/(F\\d+) (\\d+) 0 R/g)) fonts.set(name, await letters(font));
            const drawn = await stream(head(id).match(/\\/Contents (\\d+) 0 R/)[1]);
            let text = '', font = null;
            for (const line of drawn.split('\\n')) {
                const set = line.match(/^\\/(F\\d+) \\S+ Tf/);
                if (set) font = fonts.get(set[1]);
                if (line === 'BT') text += '\\n';
                for (const [, codes] of line.matchAll(/<(\\w+)> Tj/g)) {
                    for (const c of codes.match(/.{4}/g)) text += font?.get(parseInt(c, 16)) ?? '\\ufffd';
                }
                const box = line.match(/^\\S+ \\S+ (\\S+) (\\S+) re$/);
                if (box && Math.abs(box[2]) < 2 && Math.abs(box[1]) > 10) lines++;
            }
            pages.push(text.trim());
        }
        return { pages, lines };
    })();";

/// What this page would print on this paper.
pub async fn printed(page: &Page, (wide, high): (f64, f64)) -> anyhow::Result<Paper> {
    let paper = json!({ "paperWidth": wide, "paperHeight": high, "printBackground": true });
    let pdf = page.cdp("Page.printToPDF", paper).await?;
    let read = page.run(READ, &[pdf["data"].clone()]).await?;
    let pages = super::help::texts(&read["pages"]);
    anyhow::ensure!(!pages.is_empty(), "no page was found in the PDF");
    let text = pages.join("\n");
    anyhow::ensure!(
        text.len() > 500 && !text.contains('\u{fffd}'),
        "the PDF can't be read: {text}"
    );
    Ok(Paper {
        bytes: base64(pdf["data"].as_str().unwrap_or_default())?,
        pages,
        lines: usize::try_from(read["lines"].as_u64().unwrap_or_default())?,
    })
}

/// Keeps the PDF and a picture of the page as it is printed beside the shots.
pub async fn keep(page: &Page, paper: &Paper, name: &str) -> Outcome {
    page.cdp("Emulation.setEmulatedMedia", json!({ "media": "print" }))
        .await?;
    let shot: PathBuf = page.shot(name).await?;
    page.cdp("Emulation.setEmulatedMedia", json!({ "media": "" }))
        .await?;
    Ok(std::fs::write(shot.with_extension("pdf"), &paper.bytes)?)
}
