//! Advice as it is written on a command line. In a recipe it is written as the library shows it.

use retrue::pattern::{Advice, Field, Suggestion};

/// The sentence with fields as options and operations as commands.
pub fn on_command_line(advice: &Advice) -> String {
    advice.written(option, command)
}

fn option(field: Field, value: Option<&str>) -> String {
    let value = value.map_or_else(String::new, |value| format!(" {}", as_argument(value)));
    format!("--{}{value}", field.name())
}

fn command(suggestion: &Suggestion) -> String {
    let name = suggestion.operation.name();
    if suggestion.fields.is_empty() {
        return format!("`{name}`");
    }
    let options = suggestion.fields.iter().map(|(field, value)| format!(" {}", option(*field, Some(value))));
    format!("retrue {name}{}", options.collect::<String>())
}

/// A text as it is typed on a command line: in quotes where a shell would divide or change it.
pub fn as_argument(text: &str) -> String {
    let is_plain = |c: char| c.is_ascii_alphanumeric() || "-_./:=@%,".contains(c);
    if !text.is_empty() && text.chars().all(is_plain) { text.to_owned() } else { format!("\"{text}\"") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;
    use retrue::advice;
    use retrue::pattern::Operation;

    #[test]
    fn fields_are_options_and_operations_commands() {
        let unfold = Operation::Unfold.with(Field::Piece, "front");
        let advice = advice!("open it: ", unfold, ", or give ", Field::To.set("hem@45% from centre"));
        assert_eq!(
            on_command_line(&advice),
            "open it: retrue unfold --piece front, or give --to \"hem@45% from centre\""
        );
    }

    /// Whatever advice can name is an option of some command.
    #[test]
    fn every_field_that_advice_names_is_an_option() {
        let program = crate::cli::Cli::command();
        let options: Vec<String> = program
            .get_subcommands()
            .flat_map(|command| command.get_arguments())
            .filter_map(|argument| argument.get_long().map(str::to_owned))
            .collect();
        for field in Field::ALL {
            assert!(options.iter().any(|option| option == field.name()), "--{}", field.name());
        }
    }
}
