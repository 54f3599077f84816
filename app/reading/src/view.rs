//! A view of a line: plain ASCII to match against, each byte knowing the
//! pasted characters it stands for.

/// Stands for a letter or digit that folds to no ASCII character.
pub(crate) const OTHER_LETTER: u8 = 0x80;
/// Stands for any other character that folds to no ASCII character.
pub(crate) const OTHER_SIGN: u8 = 0x81;
/// A hard break inside a line, from mark-up such as `<br>`.
pub(crate) const BREAK: u8 = b'\n';

/// A folded stretch of text. `bytes[i]` stands for the text from `at[i]` to
/// `at[i] + len[i]`; what lies between two cells was taken out.
#[derive(Clone, Debug, Default)]
pub(crate) struct View {
    /// One byte a cell.
    pub bytes: Vec<u8>,
    /// Where the cell's text begins.
    pub at: Vec<u32>,
    /// How long the cell's text is.
    pub len: Vec<u16>,
}

impl View {
    /// Adds a cell.
    pub fn push(&mut self, byte: u8, at: u32, len: u16) {
        self.bytes.push(byte);
        self.at.push(at);
        self.len.push(len);
    }

    /// Adds cell `i` of another view.
    pub fn push_from(&mut self, other: &Self, i: usize) {
        self.push(
            other.byte(i),
            other.start(i),
            other.len.get(i).copied().unwrap_or(0),
        );
    }

    /// Adds cells of another view.
    pub fn extend_from(&mut self, other: &Self, from: usize, to: usize) {
        for i in from..to {
            self.push_from(other, i);
        }
    }

    /// Number of cells.
    pub fn len(&self) -> usize {
        self.bytes.len()
    }

    /// The byte of a cell, or a break behind the end.
    pub fn byte(&self, i: usize) -> u8 {
        self.bytes.get(i).copied().unwrap_or(BREAK)
    }

    /// Where cell `i` begins in the text; behind the end, where the last ends.
    pub fn start(&self, i: usize) -> u32 {
        match self.at.get(i) {
            Some(&at) => at,
            None => self.at.last().map_or(0, |&at| {
                at + u32::from(self.len.last().copied().unwrap_or(0))
            }),
        }
    }

    /// Where the cell before `i` ends in the text.
    pub fn end(&self, i: usize) -> u32 {
        match i
            .checked_sub(1)
            .and_then(|p| Some((self.at.get(p)?, self.len.get(p)?)))
        {
            Some((&at, &len)) => at + u32::from(len),
            None => self.start(0),
        }
    }

    /// Text range of cells `from..to`.
    pub fn range(&self, from: usize, to: usize) -> (usize, usize) {
        if from >= to {
            let at = self.start(from) as usize;
            return (at, at);
        }
        (self.start(from) as usize, self.end(to) as usize)
    }

    /// The cells as a slice of bytes.
    pub fn slice(&self, from: usize, to: usize) -> &[u8] {
        self.bytes
            .get(from..to.min(self.bytes.len()))
            .unwrap_or(&[])
    }
}

/// Whether a byte may stand between values: white space or loose punctuation.
pub(crate) fn is_soft(b: u8) -> bool {
    matches!(
        b,
        b' ' | b'\t'
            | b','
            | b';'
            | b':'
            | b'='
            | b'|'
            | b'-'
            | b'.'
            | b'/'
            | b'>'
            | b'<'
            | b'~'
            | b'_'
            | b'*'
            | b'"'
            | b'\''
            | b'`'
            | b'('
            | b')'
            | b'['
            | b']'
            | b'{'
            | b'}'
            | OTHER_SIGN
    )
}

/// Whether a byte is white space.
pub(crate) fn is_space(b: u8) -> bool {
    matches!(b, b' ' | b'\t')
}

/// Whether a byte belongs to a word or number.
pub(crate) fn is_wordy(b: u8) -> bool {
    b.is_ascii_alphanumeric() || b == OTHER_LETTER
}
