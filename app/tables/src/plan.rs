//! What the columns of a sheet are taken for: the proposal that a person sees
//! and corrects before anything is taken.

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// The code. Several such columns make one code together.
    Code,
    /// The power-up step: of a code, or the one that the row describes.
    Step,
    /// A few words: title of a code, name of a step, a rail or a board.
    Title,
    /// The long text: meaning of a code, what a step or a board is about.
    Meaning,
    /// What a code does not prove.
    NotProof,
    /// Rails involved, or the rail that the row describes.
    Rail,
    /// Parts involved.
    Part,
    /// The boards that the row is about.
    Board,
    /// Anything else that is worth keeping; goes to the end of the long text.
    Note,
    /// Where the row comes from.
    Source,
    /// Volts of a rail.
    Volts,
    /// Where to measure a rail.
    At,
    /// How to tell a board, one sign a line.
    Tell,
    /// Where the service port is on a board.
    Port,
    /// The layouts that a code is for.
    Layout,
    /// Left out.
    Ignore,
}

impl Role {
    /// All roles, in the order of a menu.
    pub const ALL: [Self; 16] = [
        Self::Code,
        Self::Step,
        Self::Title,
        Self::Meaning,
        Self::NotProof,
        Self::Rail,
        Self::Part,
        Self::Board,
        Self::Note,
        Self::Source,
        Self::Volts,
        Self::At,
        Self::Tell,
        Self::Port,
        Self::Layout,
        Self::Ignore,
    ];
}

/// What the rows are about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// Codes and their meaning.
    Codes,
    /// Power-up steps.
    Steps,
    /// Supply rails.
    Rails,
    /// Board revisions.
    Boards,
}

impl What {
    /// The roles that make sense for such rows, in the order of a menu.
    #[must_use]
    pub fn roles(self) -> &'static [Role] {
        use Role::{
            At, Board, Code, Ignore, Layout, Meaning, NotProof, Note, Part, Port, Rail, Source,
            Step, Tell, Title, Volts,
        };
        match self {
            Self::Codes => &[
                Code, Title, Meaning, NotProof, Step, Rail, Part, Board, Note, Source, Layout,
                Ignore,
            ],
            Self::Steps => &[Step, Title, Meaning, Rail, Part, Note, Source, Ignore],
            Self::Rails => &[Rail, Title, Volts, At, Note, Source, Ignore],
            Self::Boards => &[Board, Title, Tell, Meaning, Port, Note, Source, Ignore],
        }
    }
}

/// One column's proposal.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// What it holds.
    pub role: Role,
    /// When this is wording for one board only: that board. Only for
    /// [`Role::Title`], [`Role::Meaning`], [`Role::NotProof`] and [`Role::Part`].
    pub board: String,
    /// Why, in words.
    pub why: String,
    /// Whether there was no reasonable other choice.
    pub sure: bool,
    /// The column's head, of the table before when it goes on with one; empty
    /// without one.
    pub head: String,
    /// A few of its cells.
    pub sample: Vec<String>,
}

/// What a sheet is taken for. A person may change every part of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// What the rows are about.
    pub what: What,
    /// The columns, from left.
    pub columns: Vec<Column>,
    /// Characters in front of every code that the log does not write, such as
    /// `E-`; taken off. Empty for none.
    pub prefix: String,
    /// What stands between the parts when several columns make the code.
    pub join: String,
    /// Whether spaces, dots and dashes within a code are taken out.
    pub close_up: bool,
    /// Whether the cells of the code column are codes as they stand: nothing is
    /// parted, taken off or filled in.
    pub verbatim: bool,
    /// Doubts about the whole, in words.
    pub doubts: Vec<String>,
}
