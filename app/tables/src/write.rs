//! The way back: tables of a book as text, so that reading them gives the same
//! codes, steps, rails and boards.

use crate::plan::What;
use crate::seek::has;
use crate::shape::volts_text;
use crate::sheet::Form;
use codebook::model::{BoardMeaning, CodeBook};

/// A table of texts to be written.
struct Table {
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

/// One table of the book. Columns that are empty throughout are left out.
/// [`Form::Columns`], [`Form::List`] and [`Form::Nothing`] can't hold all of it
/// and are written with tabs.
#[must_use]
pub fn write(book: &CodeBook, what: What, form: Form) -> String {
    let mut table = match what {
        What::Codes => codes(book),
        What::Steps => steps(book),
        What::Rails => rails(book),
        What::Boards => boards(book),
    };
    table.without_empty();
    let mut out = String::new();
    match form {
        Form::Html => html(&table, &mut out),
        Form::Markdown => lines(&table, &mut out, "| ", " | ", " |", &markdown_cell, true),
        Form::Bars => lines(&table, &mut out, "|| ", " || ", " ||", &wiki_cell, false),
        Form::Wiki => wiki(&table, &mut out),
        Form::BbCode => bbcode(&table, &mut out),
        Form::Separated(sep) => separated(&table, &mut out, sep),
        Form::Columns | Form::List | Form::Nothing => separated(&table, &mut out, '\t'),
    }
    out
}

impl Table {
    fn new(head: &[&str]) -> Self {
        Self {
            head: head.iter().map(|h| (*h).to_owned()).collect(),
            rows: Vec::new(),
        }
    }

    fn without_empty(&mut self) {
        let keep: Vec<bool> = (0..self.head.len())
            .map(|n| {
                n < 2
                    || self
                        .rows
                        .iter()
                        .any(|r| r.get(n).is_some_and(|c| !c.is_empty()))
            })
            .collect();
        for row in std::iter::once(&mut self.head).chain(&mut self.rows) {
            let mut keep = keep.iter();
            row.retain(|_| keep.next() == Some(&true));
        }
    }
}

/// A list in one cell, so that it comes apart again as it was.
fn list(items: &[String]) -> String {
    let odd = |i: &String| i.contains([',', ';', '/']) || has(i, " and ") || has(i, " & ");
    match items {
        // A second line that says nothing keeps the first one whole.
        [one] if odd(one) => [one, "\n–"].concat(),
        _ if items.iter().any(odd) => items.join("\n"),
        _ => items.join(", "),
    }
}

fn codes(book: &CodeBook) -> Table {
    let mut table = Table::new(&[
        "Code, as the log writes it",
        "Title",
        "Meaning",
        "Does not prove",
        "Step",
        "Rails",
        "Parts",
        "Layouts",
        "Source",
    ]);
    let mut boards: Vec<&String> = Vec::new();
    for row in &book.codes {
        for board in row.boards.keys() {
            if !boards.contains(&board) {
                boards.push(board);
            }
        }
    }
    for board in &boards {
        for word in ["Title", "Meaning", "Does not prove", "Parts"] {
            table.head.push([word, " on ", board].concat());
        }
    }
    for row in &book.codes {
        let mut cells = vec![
            row.code.clone(),
            row.title.clone(),
            row.meaning.clone(),
            row.not_proof.clone(),
            row.step.clone().unwrap_or_default(),
            list(&row.rails),
            list(&row.parts),
            list(&row.layouts),
            row.source.clone(),
        ];
        let none = BoardMeaning::default();
        for board in &boards {
            let here = row.boards.get(*board).unwrap_or(&none);
            for text in [&here.title, &here.meaning, &here.not_proof] {
                cells.push(text.clone().unwrap_or_default());
            }
            cells.push(here.parts.as_ref().map_or_else(String::new, |p| list(p)));
        }
        table.rows.push(cells);
    }
    table
}

fn steps(book: &CodeBook) -> Table {
    let mut table = Table::new(&["Step", "Name", "About", "Rails", "Parts", "Source"]);
    for step in &book.steps {
        table.rows.push(vec![
            step.id.clone(),
            step.name.clone(),
            step.about.clone(),
            list(&step.rails),
            list(&step.parts),
            step.source.clone(),
        ]);
    }
    table
}

fn rails(book: &CodeBook) -> Table {
    let mut table = Table::new(&["Rail", "Name", "Volts", "Measure at", "Source"]);
    for rail in &book.rails {
        table.rows.push(vec![
            rail.id.clone(),
            rail.name.clone(),
            rail.volts.map_or_else(String::new, volts_text),
            rail.at.clone(),
            rail.source.clone(),
        ]);
    }
    table
}

fn boards(book: &CodeBook) -> Table {
    let mut table = Table::new(&[
        "Board",
        "Name",
        "How to tell",
        "About",
        "Service port",
        "Source",
    ]);
    for board in &book.boards {
        table.rows.push(vec![
            board.id.clone(),
            board.name.clone(),
            board.tell.join("\n"),
            board.about.clone(),
            board.port_note.clone(),
            board.source.clone(),
        ]);
    }
    table
}

fn lines(
    table: &Table,
    out: &mut String,
    front: &str,
    between: &str,
    end: &str,
    cell: &dyn Fn(&str) -> String,
    rule: bool,
) {
    for (n, row) in std::iter::once(&table.head).chain(&table.rows).enumerate() {
        out.push_str(front);
        for (k, text) in row.iter().enumerate() {
            out.push_str(if k > 0 { between } else { "" });
            out.push_str(&cell(text));
        }
        out.push_str(end);
        out.push('\n');
        if n == 0 && rule {
            out.push('|');
            out.push_str(&"---|".repeat(row.len()));
            out.push('\n');
        }
    }
}

/// Puts other texts in the place of single characters.
fn replaced(text: &str, with: &dyn Fn(char) -> Option<&'static str>) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match with(c) {
            Some(other) => out.push_str(other),
            None => out.push(c),
        }
    }
    out
}

fn markdown_cell(text: &str) -> String {
    replaced(text, &|c| {
        Some(match c {
            '\\' => "\\\\",
            '|' => "\\|",
            '*' => "\\*",
            '_' => "\\_",
            '`' => "\\`",
            '[' => "\\[",
            '~' => "\\~",
            '<' => "&lt;",
            '&' => "&amp;",
            '\n' => "<br>",
            _ => return None,
        })
    })
}

fn wiki_cell(text: &str) -> String {
    replaced(text, &|c| {
        Some(match c {
            '|' => "&#124;",
            '!' => "&#33;",
            '[' => "&#91;",
            '{' => "&#123;",
            '}' => "&#125;",
            '\'' => "&#39;",
            '=' => "&#61;",
            '^' => "&#94;",
            '<' => "&lt;",
            '&' => "&amp;",
            '\n' => "<br>",
            _ => return None,
        })
    })
}

fn wiki(table: &Table, out: &mut String) {
    out.push_str("{| class=\"wikitable\"\n");
    for (n, row) in std::iter::once(&table.head).chain(&table.rows).enumerate() {
        if n > 0 {
            out.push_str("|-\n");
        }
        for text in row {
            out.push_str(if n == 0 { "! " } else { "| " });
            out.push_str(&wiki_cell(text));
            out.push('\n');
        }
    }
    out.push_str("|}\n");
}

fn html(table: &Table, out: &mut String) {
    out.push_str("<table>\n");
    for (n, row) in std::iter::once(&table.head).chain(&table.rows).enumerate() {
        out.push_str("<tr>");
        for text in row {
            out.push_str(if n == 0 { "<th>" } else { "<td>" });
            out.push_str(&replaced(text, &|c| {
                Some(match c {
                    '<' => "&lt;",
                    '>' => "&gt;",
                    '&' => "&amp;",
                    '\n' => "<br>",
                    _ => return None,
                })
            }));
            out.push_str(if n == 0 { "</th>" } else { "</td>" });
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</table>\n");
}

fn bbcode(table: &Table, out: &mut String) {
    out.push_str("[table]\n");
    for (n, row) in std::iter::once(&table.head).chain(&table.rows).enumerate() {
        out.push_str("[tr]");
        for text in row {
            out.push_str(if n == 0 { "[th]" } else { "[td]" });
            out.push_str(&replaced(text, &|c| match c {
                '[' => Some("&#91;"),
                '&' => Some("&amp;"),
                _ => None,
            }));
            out.push_str(if n == 0 { "[/th]" } else { "[/td]" });
        }
        out.push_str("[/tr]\n");
    }
    out.push_str("[/table]\n");
}

fn separated(table: &Table, out: &mut String, sep: char) {
    for row in std::iter::once(&table.head).chain(&table.rows) {
        for (k, text) in row.iter().enumerate() {
            if k > 0 {
                out.push(sep);
            }
            let plain = !text.contains([sep, '"', '\n', '\r']) && text.trim() == text;
            if plain {
                out.push_str(text);
                continue;
            }
            out.push('"');
            out.push_str(&text.replace('"', "\"\""));
            out.push('"');
        }
        out.push('\n');
    }
}
