//! When output is coloured, and how. Colour never says anything that the words do not.

use std::ffi::{OsStr, OsString};
use std::fmt::Display;
use std::io::IsTerminal;

use clap::ValueEnum;
use clap::builder::styling::{AnsiColor, Style};
use retrue::canvas::clean;

/// When output is coloured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum ColorChoice {
    /// On a terminal, unless `NO_COLOR` is set.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

impl ColorChoice {
    /// The choice among raw arguments, so that complaints about the arguments keep to it as well.
    pub fn among(arguments: &[OsString]) -> ColorChoice {
        let chosen = |value: &OsStr| value.to_str().and_then(|text| ColorChoice::from_str(text, false).ok());
        arguments
            .iter()
            .enumerate()
            .find_map(|(i, argument)| match argument.to_str()?.strip_prefix("--color")? {
                "" => arguments.get(i + 1).and_then(|value| chosen(value)),
                value => chosen(OsStr::new(value.strip_prefix('=')?)),
            })
            .unwrap_or_default()
    }

    /// The same choice for the parser's own output.
    pub fn of_parser(self) -> clap::ColorChoice {
        match self {
            ColorChoice::Auto => clap::ColorChoice::Auto,
            ColorChoice::Always => clap::ColorChoice::Always,
            ColorChoice::Never => clap::ColorChoice::Never,
        }
    }

    /// How text to a stream is painted.
    pub fn paint_on(self, stream: &impl IsTerminal) -> TextPaint {
        let wanted = match self {
            ColorChoice::Always => true,
            ColorChoice::Never => false,
            ColorChoice::Auto => {
                let unwished = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
                let dumb = std::env::var_os("TERM").is_some_and(|value| value == "dumb");
                stream.is_terminal() && !unwished && !dumb
            }
        };
        if wanted { TextPaint::Colored } else { TextPaint::Plain }
    }
}

/// Whether text is painted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TextPaint {
    /// With escape codes of a terminal.
    Colored,
    /// As it is.
    Plain,
}

/// What a stretch of text is, for its colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TextTone {
    /// Something is refused, or not true.
    Wrong,
    /// Something is true, or fits.
    Right,
    /// Something to look at twice.
    Warning,
    /// Something good to know.
    Note,
    /// A title.
    Title,
}

impl TextPaint {
    /// The text as it is shown, painted.
    pub fn paint(self, tone: TextTone, text: impl Display) -> String {
        let style = match tone {
            TextTone::Wrong => Style::new().fg_color(Some(AnsiColor::BrightRed.into())).bold(),
            TextTone::Right => Style::new().fg_color(Some(AnsiColor::Green.into())).bold(),
            TextTone::Warning => Style::new().fg_color(Some(AnsiColor::Yellow.into())).bold(),
            TextTone::Note => Style::new().fg_color(Some(AnsiColor::Cyan.into())),
            TextTone::Title => Style::new().bold(),
        };
        match self {
            TextPaint::Colored => format!("{style}{}{style:#}", clean(&text.to_string())),
            TextPaint::Plain => clean(&text.to_string()).into_owned(),
        }
    }
}
