//! Writes the card of one outing: a page for paper and for a phone without signal.

use std::process::ExitCode;

use clap::Parser;
use jiff::civil::Date;
use wrackline_show::card::{Ask, card, page};

use crate::asked::{Destination, Source, Week, Wish};
use crate::cli::{self, Failure};
use crate::words::Paper;

/// Writes the card of one outing as a single HTML page that needs no network: times, water, tide
/// and sun, a plan to scale, the frame of each kit, plan B.
///
/// Without arguments it takes an invented demo and the best of the coming 90 days.
#[derive(Parser)]
#[command(name = "card", version)]
pub(crate) struct Arguments {
    /// Day of the outing, as YYYY-MM-DD; the best of the coming 90 days when left out
    #[arg(long, value_name = "DATE", value_parser = cli::day)]
    date: Option<Date>,
    /// One seat only, by its id; the best one when left out
    #[arg(long, value_name = "ID")]
    seat: Option<String>,
    #[command(flatten)]
    wish: Wish,
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    week: Week,
    /// Sheet on which it is to be printed
    #[arg(long, value_enum, default_value_t)]
    paper: Paper,
    #[command(flatten)]
    destination: Destination,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("card", |out| {
        let scenario = arguments.week.scenario(&arguments.source)?;
        cli::warn("card", &scenario);
        let told = arguments.source.experience(&scenario)?;
        let ask = Ask {
            experience: told.as_ref(),
            date: arguments.date,
            today: cli::today(&scenario),
            seat: arguments.seat.as_deref(),
            subject: arguments.wish.subject.as_deref(),
            light: arguments.wish.light.as_deref(),
            phase: arguments.wish.tide.into(),
        };
        let mut card = card(&scenario, ask).map_err(Failure::input)?;
        card.demo = arguments.source.is_demo();
        arguments.source.tell_of_demo("card");
        let html = page(&card, arguments.paper.into());
        arguments.destination.deliver(html.into_bytes(), out)
    })
}
