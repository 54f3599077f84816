//! Helpers of the tests: HTML to cells as the shell does it in the browser, and
//! results as text.
#![allow(dead_code, reason = "each test file uses its own part")]
#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use scraper::node::Node;
use scraper::{ElementRef, Html};
use tables::{
    Form, Given, Kind, Plan, RawCell, Sheet, Taken, from_cells, propose_after, sheets, take,
};

/// Walks the tree of a page in document order and lists cells and the texts
/// around tables, as the shell does with the browser's own tree.
pub fn cells_of_html(html: &str) -> Vec<RawCell> {
    let page = Html::parse_document(html);
    let mut walk = Walk::default();
    walk.children(page.root_element());
    walk.flush();
    walk.out
}

#[derive(Default)]
struct Walk {
    out: Vec<RawCell>,
    table: u32,
    row: u32,
    around: String,
    blocks: u32,
}

impl Walk {
    fn flush(&mut self) {
        let text = std::mem::take(&mut self.around);
        if !text.trim().is_empty() {
            self.blocks += 1;
            self.out.push(RawCell {
                table: self.table,
                row: self.blocks,
                text: text.trim().to_owned(),
                kind: Kind::Around,
                ..RawCell::default()
            });
        }
    }

    fn children(&mut self, element: ElementRef) {
        for child in element.children() {
            match child.value() {
                Node::Text(text) => self.around.push_str(&text.replace('\n', " ")),
                Node::Element(e) => {
                    let child = ElementRef::wrap(child).unwrap();
                    match e.name() {
                        "script" | "style" | "head" => {}
                        "br" => self.around.push('\n'),
                        "table" => {
                            self.flush();
                            self.table += 1;
                            self.row = 0;
                            self.children(child);
                            self.around.clear();
                        }
                        "caption" => {
                            let (text, mark) = text_of(child);
                            self.push(text, mark, Kind::Caption, child);
                        }
                        "tr" => {
                            self.row += 1;
                            self.children(child);
                        }
                        "td" | "th" => {
                            let kind = if e.name() == "th" {
                                Kind::Heading
                            } else {
                                Kind::Cell
                            };
                            let (text, mark) = text_of(child);
                            self.push(text, mark, kind, child);
                        }
                        "p" | "h1" | "h2" | "h3" | "h4" | "li" | "div" | "ul" | "ol" | "pre" => {
                            self.flush();
                            self.children(child);
                            self.flush();
                        }
                        _ => self.children(child),
                    }
                }
                _ => {}
            }
        }
    }

    fn push(&mut self, text: String, mark: String, kind: Kind, element: ElementRef) {
        let number = |name: &str| {
            element
                .value()
                .attr(name)
                .and_then(|v| v.parse().ok())
                .unwrap_or(1)
        };
        self.out.push(RawCell {
            table: self.table,
            row: self.row.max(1),
            text,
            mark,
            kind,
            across: number("colspan"),
            down: number("rowspan"),
        });
    }
}

fn text_of(element: ElementRef) -> (String, String) {
    fn walk(element: ElementRef, text: &mut String, marks: &mut Vec<String>) {
        for child in element.children() {
            match child.value() {
                Node::Text(t) => text.push_str(&t.replace('\n', " ")),
                Node::Element(e) => {
                    let child = ElementRef::wrap(child).unwrap();
                    match e.name() {
                        "br" => text.push('\n'),
                        "sup" => marks.push(child.text().collect::<String>()),
                        "p" | "li" | "div" => {
                            if !text.is_empty() {
                                text.push('\n');
                            }
                            walk(child, text, marks);
                        }
                        _ => walk(child, text, marks),
                    }
                }
                _ => {}
            }
        }
    }
    let (mut text, mut marks) = (String::new(), Vec::new());
    walk(element, &mut text, &mut marks);
    (text.trim().to_owned(), marks.join("\n"))
}

/// HTML when it begins with a tag, any other text otherwise.
pub fn sheets_of(paste: &str) -> Vec<Sheet> {
    if paste.trim_start().starts_with('<') {
        from_cells(&cells_of_html(paste))
    } else {
        sheets(paste)
    }
}

/// A plan for each sheet, each with the ones before in view.
pub fn plans(all: &[Sheet]) -> Vec<Plan> {
    let mut plans = Vec::new();
    for (n, sheet) in all.iter().enumerate() {
        let earlier: Vec<_> = all[..n].iter().zip(&plans).collect();
        let plan = propose_after(sheet, &earlier);
        plans.push(plan);
    }
    plans
}

/// Everything as proposed, without a person's correction.
pub fn taken(pastes: &[&str], from: &str) -> (Vec<Sheet>, Vec<Plan>, Taken) {
    let all: Vec<Sheet> = pastes.iter().flat_map(|p| sheets_of(p)).collect();
    let plans = plans(&all);
    let given: Vec<Given> = all
        .iter()
        .zip(&plans)
        .filter(|(s, _)| s.form != Form::Nothing)
        .map(|(sheet, plan)| Given { sheet, plan, from })
        .collect();
    let taken = take(&given);
    (all, plans, taken)
}

/// The result as lines that a person can check.
pub fn shown(all: &[Sheet], plans: &[Plan], taken: &Taken) -> String {
    let mut out = String::new();
    let mut say = |line: String| {
        out.push_str(&line.replace('\n', " / "));
        out.push('\n');
    };
    for (sheet, plan) in all.iter().zip(plans) {
        let roles: Vec<String> = plan
            .columns
            .iter()
            .map(|c| {
                let board = if c.board.is_empty() {
                    String::new()
                } else {
                    format!(" on {}", c.board)
                };
                format!("{:?}{board}{}", c.role, if c.sure { "" } else { "?" })
            })
            .collect();
        say(format!(
            "sheet {:?} title {:?} of {:?}: {}",
            sheet.form,
            sheet.title,
            plan.what,
            roles.join(", ")
        ));
        for doubt in &plan.doubts {
            say(format!("  doubt: {doubt}"));
        }
        for note in &sheet.footnotes {
            say(format!("  footnote {}: {}", note.mark, note.text));
        }
        for left in &sheet.left {
            say(format!(
                "  left {}-{}: {:?}: {}",
                left.line, left.last, left.text, left.why
            ));
        }
    }
    for row in &taken.piece.codes {
        let mut line = format!("code {} = {}", row.code, row.title);
        for (name, text) in [
            ("meaning", row.meaning.clone()),
            ("not proof", row.not_proof.clone()),
            ("step", row.step.clone().unwrap_or_default()),
            ("rails", row.rails.join(", ")),
            ("parts", row.parts.join(", ")),
            ("layouts", row.layouts.join(", ")),
            ("source", row.source.clone()),
        ] {
            if !text.is_empty() {
                line += &format!(" | {name}: {text}");
            }
        }
        for (board, m) in &row.boards {
            line += &format!(
                " | on {board}: {:?} {:?} {:?}",
                m.title.as_deref().unwrap_or(""),
                m.meaning.as_deref().unwrap_or(""),
                m.parts.as_deref().unwrap_or(&[])
            );
        }
        say(line);
    }
    for s in &taken.piece.steps {
        say(format!(
            "step {} = {} | {} | {} | {}",
            s.id,
            s.name,
            s.about,
            s.rails.join(", "),
            s.parts.join(", ")
        ));
    }
    for r in &taken.piece.rails {
        say(format!(
            "rail {} = {} | {:?} | {}",
            r.id, r.name, r.volts, r.at
        ));
    }
    for b in &taken.piece.boards {
        say(format!(
            "board {} = {} | {} | {} | {}",
            b.id,
            b.name,
            b.tell.join("; "),
            b.about,
            b.port_note
        ));
    }
    for row in &taken.rows {
        for note in &row.notes {
            say(format!("note {}/{}: {note}", row.sheet, row.line));
        }
    }
    for (sheet, left) in &taken.left {
        say(format!(
            "not taken {sheet}/{}: {:?}: {}",
            left.line, left.text, left.why
        ));
    }
    for c in &taken.conflicts {
        say(format!(
            "conflict {} at {:?}: {}",
            c.code,
            c.places,
            c.differs.join(", ")
        ));
    }
    out
}
