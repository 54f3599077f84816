//! Pasted HTML to text. The browser's own parser reads it into a document that
//! is never shown, where no script runs and no picture is fetched.

use web_sys::{DomParser, Node, SupportedType};

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
