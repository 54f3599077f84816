//! Noise that pasting adds: it changes how a log looks, not what it says.

use proptest::prelude::*;

/// One kind of noise.
#[derive(Clone, Debug)]
pub enum Noise {
    /// Quote marks in front of each line, so many deep.
    Quoted(usize),
    /// Other spaces for spaces.
    Spaces(char),
    /// Characters without width at every so many characters.
    WidthLess(usize, char),
    /// All small, or all large.
    Case(bool),
    /// Mark-up around the log and inside its lines.
    BbCode,
    /// The same in HTML.
    Html,
    /// Full-width letters and digits, from one place in each line on.
    FullWidth(usize),
    /// Line ends of another system.
    LineEnds(&'static str),
    /// Time stamps of a terminal logger in front of each line.
    Stamps,
    /// Blank lines between.
    Blank,
    /// Lines cut at a width, as terminals do.
    Wrapped(usize),
    /// Talk around the log.
    Talk,
    /// A byte order mark in front.
    Mark,
    /// A letter for a digit, at one such digit of each line.
    Slip(usize, char, char),
}

/// Any of them.
pub fn any_noise() -> impl Strategy<Value = Noise> {
    prop_oneof![
        (1_usize..4).prop_map(Noise::Quoted),
        prop::sample::select(vec!['\u{A0}', '\u{2009}', '\u{3000}', '\t']).prop_map(Noise::Spaces),
        (
            1_usize..9,
            prop::sample::select(vec!['\u{200B}', '\u{200D}', '\u{AD}', '\u{FEFF}'])
        )
            .prop_map(|(n, c)| Noise::WidthLess(n, c)),
        any::<bool>().prop_map(Noise::Case),
        Just(Noise::BbCode),
        Just(Noise::Html),
        (0_usize..40).prop_map(Noise::FullWidth),
        prop::sample::select(vec!["\r\n", "\r", "\u{2028}"]).prop_map(Noise::LineEnds),
        Just(Noise::Stamps),
        Just(Noise::Blank),
        (20_usize..60).prop_map(Noise::Wrapped),
        Just(Noise::Talk),
        Just(Noise::Mark),
        (
            0_usize..9,
            prop::sample::select(vec![
                ('0', 'O'),
                ('1', 'l'),
                ('5', 'S'),
                ('2', 'Z'),
                ('1', '|'),
                ('0', '?')
            ])
        )
            .prop_map(|(n, (digit, letter))| Noise::Slip(n, digit, letter)),
    ]
}

impl Noise {
    /// Whether each record must still be read whole and without a guess. A cut
    /// in the middle of a number may leave two ways to read it.
    pub fn harmless(&self) -> bool {
        !matches!(self, Self::Wrapped(_) | Self::Slip(..))
    }

    /// The text with the noise on it.
    pub fn on(&self, text: &str) -> String {
        let each = |f: &mut dyn FnMut(&str) -> String| {
            text.lines().map(|l| f(l) + "\n").collect::<String>()
        };
        let split = |l: &str, at: usize| {
            let at = l.char_indices().nth(at).map_or(l.len(), |x| x.0);
            (l[..at].to_owned(), l[at..].to_owned())
        };
        match self {
            Self::Quoted(n) => each(&mut |l| format!("{}{l}", "> ".repeat(*n))),
            Self::Spaces(c) => text.replace(' ', &c.to_string()),
            Self::WidthLess(n, c) => {
                let mut out = String::new();
                for (i, x) in text.chars().enumerate() {
                    if i % n == 0 {
                        out.push(*c);
                    }
                    out.push(x);
                }
                out
            }
            Self::Case(true) => text.to_uppercase(),
            Self::Case(false) => text.to_lowercase(),
            Self::BbCode => format!(
                "[quote=bob][code]\n{}[/code][/quote]\n",
                each(&mut |l| {
                    let (a, b) = split(l, 9);
                    format!("{a}[b]{b}[/b]")
                })
            ),
            Self::Html => format!(
                "<pre>\n{}</pre>\n",
                each(&mut |l| {
                    let (a, b) = split(l, 9);
                    format!(
                        "<span class=\"x\">{a}</span><b>{}</b><br>",
                        b.replace(' ', "&nbsp;")
                    )
                })
            ),
            Self::FullWidth(from) => each(&mut |l| {
                let (a, b) = split(l, *from);
                let wide = |c: char| match c {
                    '!'..='~' => char::from_u32(c as u32 + 0xFEE0).unwrap_or(c),
                    other => other,
                };
                a + &b.chars().map(wide).collect::<String>()
            }),
            Self::LineEnds(end) => text.replace('\n', end),
            Self::Stamps => {
                let mut n = 148;
                each(&mut |l| {
                    n += 37;
                    format!("[10:02:{:02}.{:03}] {l}", n / 1000 % 60, n % 1000)
                })
            }
            Self::Blank => each(&mut |l| format!("{l}\n")),
            Self::Wrapped(width) => each(&mut |l| {
                let chars: Vec<char> = l.chars().collect();
                chars
                    .chunks(*width)
                    .map(|c| c.iter().collect::<String>())
                    .collect::<Vec<_>>()
                    .join("\n")
            }),
            Self::Talk => format!(
                "Hi, it does not start any more. This is what it says:\n{text}thanks for any help!\n"
            ),
            Self::Mark => format!("\u{FEFF}{text}"),
            Self::Slip(n, digit, letter) => each(&mut |l| {
                // A bar in front of a value is a table's, whatever was meant.
                let inside = |at: usize| {
                    *letter != '|' || l[..at].ends_with(|c: char| c.is_ascii_alphanumeric())
                };
                let at = l
                    .match_indices(*digit)
                    .map(|m| m.0)
                    .filter(|&at| inside(at))
                    .nth(*n);
                at.map_or_else(
                    || l.to_owned(),
                    |at| format!("{}{letter}{}", &l[..at], &l[at + 1..]),
                )
            }),
        }
    }
}
