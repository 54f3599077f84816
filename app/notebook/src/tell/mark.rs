//! Text in three forms of mark-up, in which nothing a person typed can pass for
//! mark-up.
//!
//! Markdown: a backslash before a mark makes it a plain character (CommonMark
//! 0.31, 2.4, from memory; the tests let another Markdown reader judge). BBCode
//! has no such rule and no standard: an opening bracket is written full-width,
//! as in the report of a reading.

use crate::timeline::put;

/// The mark-up of the place a text goes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// None.
    Plain,
    /// `[b]`, `[code]`, as most forums have it.
    BbCode,
    /// Markdown.
    Markdown,
}

/// A text that grows.
pub(super) struct Page {
    form: Form,
    out: String,
}

impl Page {
    pub fn new(form: Form) -> Self {
        Self {
            form,
            out: String::new(),
        }
    }

    pub fn done(self) -> String {
        self.out
    }

    /// A blank line, unless there is one.
    pub fn gap(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    pub fn heading(&mut self, text: &str) {
        self.gap();
        let text = self.tame(&text.replace('\n', " "), "");
        match self.form {
            Form::Plain => {
                self.out += &text;
                self.out.push('\n');
                self.out += &"-".repeat(text.chars().count().min(60));
            }
            Form::BbCode => put(&mut self.out, &["[b]", &text, "[/b]"]),
            // A closing run of # would be taken for mark-up; it is escaped.
            Form::Markdown => put(&mut self.out, &["### ", &text, "\n"]),
        }
        self.out.push('\n');
    }

    /// A paragraph: our words, which have no mark in them, then a person's.
    pub fn para(&mut self, own: &str, text: &str) {
        let text = self.tame(text, "");
        self.out += own;
        self.out += &text;
        self.out.push('\n');
        if self.form == Form::Markdown {
            self.out.push('\n');
        }
    }

    /// The same, if there is something to say.
    pub fn pair(&mut self, own: &str, text: &str) {
        if !text.trim().is_empty() {
            self.para(own, text);
        }
    }

    /// An item of a list.
    pub fn item(&mut self, own: &str, text: &str) {
        self.out += "- ";
        let text = self.tame(text, "  ");
        self.out += own;
        self.out += &text;
        self.out.push('\n');
    }

    /// Lines that are shown as they are. They stand below an item of a list.
    pub fn code(&mut self, lines: &[String]) {
        if lines.is_empty() {
            return;
        }
        let lines: Vec<String> = lines.iter().map(|l| clean(&l.replace('\n', " "))).collect();
        let fence = "`".repeat(longest_run(&lines).max(2) + 1);
        let (open, close, before) = match self.form {
            Form::Plain => ("", "", "    "),
            Form::BbCode => ("[code]", "[/code]", ""),
            Form::Markdown => (fence.as_str(), fence.as_str(), "  "),
        };
        let mut add = |line: &str| {
            if !line.is_empty() {
                put(&mut self.out, &[before, line, "\n"]);
            }
        };
        add(open);
        for line in &lines {
            if self.form == Form::BbCode {
                add(&line.replace('[', "\u{FF3B}"));
            } else {
                add(line);
            }
        }
        add(close);
    }

    /// A person's text as it has to be written in this form. Lines after the
    /// first begin with `before`.
    fn tame(&self, text: &str, before: &str) -> String {
        let mut out = String::new();
        for (n, line) in clean(text).trim().split('\n').enumerate() {
            // Spaces at the beginning and end of a line mean something in Markdown.
            let line = line.trim();
            if n > 0 {
                // A backslash at the end of a line is a line break.
                if self.form == Form::Markdown {
                    out.push('\\');
                }
                out.push('\n');
                out += before;
            }
            match self.form {
                Form::Plain => out += line,
                Form::BbCode => out += &line.replace('[', "\u{FF3B}"),
                Form::Markdown => escape(&mut out, line),
            }
        }
        out
    }
}

/// The length of the longest run of backticks.
fn longest_run(lines: &[String]) -> usize {
    let (mut most, mut run) = (0, 0);
    for c in lines.iter().flat_map(|l| l.chars().chain(['\n'])) {
        run = if c == '`' { run + 1 } else { 0 };
        most = most.max(run);
    }
    most
}

/// Without what can't be seen and disturbs what follows: control characters,
/// marks that turn the direction of writing. One kind of line end.
fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '\r' if chars.peek() == Some(&'\n') => {}
            '\r' | '\u{2028}' | '\u{2029}' | '\u{85}' => out.push('\n'),
            '\n' => out.push('\n'),
            '\t' => out.push(' '),
            '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FEFF}' => {}
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}

/// A line of plain text as Markdown. `line` may stand at the beginning of a line.
fn escape(out: &mut String, line: &str) {
    // At the beginning of a line these make a list or a heading of it.
    let number = line.bytes().take_while(u8::is_ascii_digit).count();
    for (n, c) in line.char_indices() {
        let special = match c {
            '\\' | '`' | '*' | '_' | '{' | '}' | '[' | ']' | '<' | '>' | '#' | '|' | '~' | '&'
            | '!' | '$' | '^' => true,
            '-' | '+' | '=' | ':' => n == 0,
            '.' | ')' => n == number && number > 0,
            _ => false,
        };
        if special {
            out.push('\\');
        }
        out.push(c);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// No line of ours is backticks alone; the page does not rely on it.
    #[test]
    fn a_fence_is_longer_than_any_run_of_backticks_within() {
        let mut page = Page::new(Form::Markdown);
        page.code(&["```".to_owned(), "*a* ````` b".to_owned()]);
        let text: String = pulldown_cmark::Parser::new(&page.done())
            .filter_map(|e| match e {
                pulldown_cmark::Event::Text(text) => Some(text.to_string()),
                _ => None,
            })
            .collect();
        assert_eq!(text, "```\n*a* ````` b\n");
    }
}
