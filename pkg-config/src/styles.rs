//! One stylesheet from the files in `public/styles`: one request instead of
//! many, without the comments that only developers need.

use crate::assets::Asset;

/// Joins the stylesheets. `base.css` comes first because the others build on
/// it, `print.css` last because it takes back what they say; between them the
/// order is that of the names.
pub fn join(files: &[Asset]) -> String {
    let place = |asset: &Asset| match asset.address.rsplit('/').next() {
        Some("base.css") => 0,
        Some("print.css") => 2,
        _ => 1,
    };
    let mut sorted: Vec<&Asset> = files
        .iter()
        .filter(|a| a.address.ends_with(".css"))
        .collect();
    sorted.sort_by_key(|a| (place(a), a.address.clone()));
    sorted
        .iter()
        .map(|a| slim(&String::from_utf8_lossy(&a.bytes)))
        .collect()
}

/// Without comments, indentation and empty lines. Text in quotes is kept.
fn slim(css: &str) -> String {
    let mut plain = String::with_capacity(css.len());
    let mut rest = css.chars().peekable();
    let mut quote = None;
    while let Some(c) = rest.next() {
        if quote.is_some() {
            plain.push(c);
            if c == '\\' {
                plain.extend(rest.next());
            } else if quote == Some(c) {
                quote = None;
            }
        } else if c == '/' && rest.peek() == Some(&'*') {
            rest.next();
            let mut before = ' ';
            for c in rest.by_ref() {
                if before == '*' && c == '/' {
                    break;
                }
                before = c;
            }
        } else {
            if c == '"' || c == '\'' {
                quote = Some(c);
            }
            plain.push(c);
        }
    }
    let lines = plain.lines().map(str::trim).filter(|line| !line.is_empty());
    lines.flat_map(|line| [line, "\n"]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base_first_and_print_last() {
        let file = |name: &str| Asset::plain(name, format!("{name}{{}}").into_bytes());
        let files = [
            "/styles/print.css",
            "/styles/read.css",
            "/styles/base.css",
            "/styles/note.txt",
        ]
        .map(file);
        assert_eq!(
            join(&files),
            "/styles/base.css{}\n/styles/read.css{}\n/styles/print.css{}\n"
        );
    }

    #[test]
    fn comments_go_and_quoted_text_stays() {
        let css = "/* why **/\na {\n  content: \"/* kept */ \\\" \";\n}\n\n/* end";
        assert_eq!(slim(css), "a {\ncontent: \"/* kept */ \\\" \";\n}\n");
    }
}
