//! Pasted HTML to text. The browser's own parser reads it into a document that
//! is never shown, where no script runs and no picture is fetched.

use tables::{Kind, RawCell};
use wasm_bindgen::JsCast;
use web_sys::{DomParser, Element, Node, SupportedType};

/// The text of pasted HTML if it has a table in it: one row a line, a tab
/// between cells. `None` if there is no table, as plain text is better then.
pub fn tables(html: &str) -> Option<String> {
    if !html.contains("<t") && !html.contains("<T") {
        return None;
    }
    let doc = DomParser::new()
        .ok()?
        .parse_from_string(html, SupportedType::TextHtml)
        .ok()?;
    doc.query_selector("table tr").ok()??;
    let mut out = String::new();
    walk(doc.body()?.as_ref(), false, &mut out);
    let text = out.trim_matches('\n').to_owned();
    if text.is_empty() { None } else { Some(text) }
}

fn walk(node: &Node, pre: bool, out: &mut String) {
    if node.node_type() == Node::TEXT_NODE {
        let text = node.text_content().unwrap_or_default();
        if pre {
            out.push_str(&text);
        } else {
            words(&text, out);
        }
        return;
    }
    let name = node.node_name();
    match name.as_str() {
        "SCRIPT" | "STYLE" | "HEAD" | "TEMPLATE" | "#comment" => return,
        "BR" => {
            out.push('\n');
            return;
        }
        _ => {}
    }
    let cell = matches!(name.as_str(), "TD" | "TH");
    let block = matches!(
        name.as_str(),
        "TR" | "P"
            | "DIV"
            | "LI"
            | "PRE"
            | "BLOCKQUOTE"
            | "H1"
            | "H2"
            | "H3"
            | "H4"
            | "TABLE"
            | "UL"
            | "OL"
            | "SECTION"
            | "ARTICLE"
            | "CAPTION"
    );
    if block && !out.is_empty() && !out.ends_with('\n') && !out.ends_with('\t') {
        out.push('\n');
    }
    let pre = pre || name == "PRE";
    let mut child = node.first_child();
    while let Some(c) = child {
        walk(&c, pre, out);
        child = c.next_sibling();
    }
    if cell && node.next_sibling().is_some() {
        while out.ends_with([' ', '\n']) {
            out.pop();
        }
        out.push('\t');
    } else if block && !out.ends_with('\n') {
        while out.ends_with(['\t', ' ']) {
            out.pop();
        }
        out.push('\n');
    }
}

/// Adds text with every run of white space as one blank.
fn words(text: &str, out: &mut String) {
    let lead = text.starts_with(char::is_whitespace);
    if lead && !out.is_empty() && !out.ends_with([' ', '\n', '\t']) {
        out.push(' ');
    }
    let mut first = true;
    for word in text.split_whitespace() {
        if !first {
            out.push(' ');
        }
        out.push_str(word);
        first = false;
    }
    if !first && text.ends_with(char::is_whitespace) {
        out.push(' ');
    }
}

/// Whether a text is HTML with a table or a list in it.
pub fn looks_like(text: &str) -> bool {
    [
        "<td", "<tr", "<th", "<li", "<TD", "<TR", "<dt", "<p>", "<p ",
    ]
    .iter()
    .any(|mark| text.contains(mark))
}

/// Most cells that are taken from a page.
const MOST_CELLS: usize = 400_000;

/// The cells of all tables in HTML, and the texts around them, in document
/// order.
pub fn cells(html: &str) -> Vec<RawCell> {
    let parser = DomParser::new().ok();
    let doc = parser.and_then(|p| p.parse_from_string(html, SupportedType::TextHtml).ok());
    let mut taker = Taker {
        // To look for raised marks in each of thousands of cells takes its time.
        raised: html.contains("<sup") || html.contains("<SUP"),
        ..Taker::default()
    };
    if let Some(body) = doc.and_then(|d| d.body()) {
        taker.walk(body.as_ref(), 0);
    }
    taker.out
}

/// Nested elements that are followed; deeper ones are passed over.
const DEEP: u32 = 200;

#[derive(Default)]
struct Taker {
    out: Vec<RawCell>,
    table: u32,
    /// Rows so far of the table.
    row: u32,
    /// Whether there are raised marks at all.
    raised: bool,
    /// The last thing taken is a term that waits for what it is.
    term: bool,
}

impl Taker {
    fn walk(&mut self, node: &Node, depth: u32) {
        let mut child = node.first_child();
        while let Some(c) = child {
            if self.out.len() < MOST_CELLS && depth < DEEP {
                self.one(&c, depth);
            }
            child = c.next_sibling();
        }
    }

    fn one(&mut self, node: &Node, depth: u32) {
        if node.node_type() == Node::TEXT_NODE {
            // Loose text is a paragraph of its own.
            self.take(node, Kind::Around);
            return;
        }
        let Some(el) = node.dyn_ref::<Element>() else {
            return;
        };
        match el.node_name().as_str() {
            "SCRIPT" | "STYLE" | "HEAD" | "TEMPLATE" => {}
            "TABLE" => {
                self.table += 1;
                self.row = 0;
                self.walk(node, depth + 1);
            }
            "THEAD" | "TBODY" | "TFOOT" | "UL" | "OL" | "DL" => self.walk(node, depth + 1),
            "TR" => {
                self.row += 1;
                self.walk(node, depth + 1);
            }
            "TD" => self.take(node, Kind::Cell),
            "TH" => self.take(node, Kind::Heading),
            "CAPTION" => self.take(node, Kind::Caption),
            // A term and what it is, as one line.
            "DT" => {
                let before = self.out.len();
                self.take(node, Kind::Around);
                self.term = self.out.len() > before;
            }
            "DD" if self.term => {
                self.term = false;
                let before = self.out.len();
                self.take(node, Kind::Around);
                if self.out.len() > before
                    && let Some(what) = self.out.pop()
                    && let Some(term) = self.out.last_mut()
                {
                    term.text = std::mem::take(&mut term.text) + ": " + &what.text;
                }
            }
            "P" | "LI" | "H1" | "H2" | "H3" | "H4" | "DD" | "PRE" => {
                self.term = false;
                self.take(node, Kind::Around);
            }
            _ if el
                .query_selector("table, p, li, h1, h2, h3, h4, dt, dd")
                .ok()
                .flatten()
                .is_some() =>
            {
                self.walk(node, depth + 1);
            }
            _ => self.take(node, Kind::Around),
        }
    }

    fn take(&mut self, node: &Node, kind: Kind) {
        let mut text = String::new();
        let mut marks = Vec::new();
        if let Some(el) = node.dyn_ref::<Element>().filter(|_| self.raised) {
            // Footnote marks stand raised; the text is read without them.
            if let Ok(all) = el.query_selector_all("sup") {
                for n in 0..all.length() {
                    if let Some(sup) = all.get(n) {
                        let mark = sup.text_content().unwrap_or_default();
                        marks.push(mark.trim().to_owned());
                        sup.set_text_content(None);
                    }
                }
            }
        }
        walk(node, false, &mut text);
        let text = text.trim().to_owned();
        if kind == Kind::Around && text.is_empty() {
            return;
        }
        let span = |name: &str| {
            let el = node.dyn_ref::<Element>()?;
            el.get_attribute(name)?.trim().parse().ok()
        };
        self.out.push(RawCell {
            table: self.table,
            row: self.row,
            text,
            mark: marks.join("\n"),
            kind,
            across: span("colspan").unwrap_or(1),
            down: span("rowspan").unwrap_or(1),
        });
    }
}
