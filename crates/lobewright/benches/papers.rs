//! How long a paper takes: from a planned build to the bytes of its PDF, on one core.

#![expect(clippy::unwrap_used, reason = "a bench that cannot run says why")]

use divan::{Bencher, black_box};
use kernel::units::System;
use lobewright::papers::{BookOf, Stamp, assembly_sheet, balance_sheet, book, cut_sheets};
use lobewright::{build_file, ops};
use std::fs;
use std::path::Path;

fn main() {
    divan::main();
}

struct Planned {
    build: build_file::Build,
    plan: ops::PlanReport,
    balance: ops::BalanceReport,
    assembly: ops::AssemblyReport,
    condition: ops::ConditionReport,
}

/// A two-rotor build with balance and assembly in its file.
fn planned() -> Planned {
    let file =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/shelduck-hydroplane.toml");
    let build = build_file::read(&fs::read_to_string(file).unwrap()).unwrap();
    let plan = ops::plan(&build, System::Metric).unwrap();
    let call = ops::SpeedCall::default();
    let balance = ops::balance(&build, &plan, &call, System::Metric).unwrap();
    let assembly = ops::assembly(&build, System::Metric);
    let condition = ops::condition(&build, System::Metric);
    Planned { build, plan, balance, assembly, condition }
}

fn stamp(number: usize) -> Stamp {
    // Another number each time: the typesetter may not hand back what it has set before.
    Stamp { mark: format!("Sheet {number}"), day: "2026-11-28".to_owned(), first: System::Metric }
}

/// One rotor's cut sheet, put together and set.
#[divan::bench]
fn cut_sheet_of_a_rotor(bencher: Bencher<'_, '_>) {
    let planned = planned();
    let mut number = 0;
    bencher.bench_local(|| {
        number += 1;
        let sheets = cut_sheets(&planned.build, &planned.plan, &stamp(number));
        black_box(sheets[1].paper.pdf().unwrap())
    });
}

/// The balance sheet with its pictures.
#[divan::bench]
fn sheet_to_balance_by(bencher: Bencher<'_, '_>) {
    let planned = planned();
    let mut number = 0;
    bencher.bench_local(|| {
        number += 1;
        let of = (&planned.build, &planned.plan, &planned.balance);
        black_box(balance_sheet(of.0, of.1, of.2, &stamp(number)).paper.pdf().unwrap())
    });
}

/// The assembly sheet.
#[divan::bench]
fn sheet_to_assemble_by(bencher: Bencher<'_, '_>) {
    let planned = planned();
    let mut number = 0;
    bencher.bench_local(|| {
        number += 1;
        black_box(
            assembly_sheet(Some(&planned.build), &planned.assembly, &stamp(number))
                .paper
                .pdf()
                .unwrap(),
        )
    });
}

/// A whole book, of more than twelve pages.
#[divan::bench]
fn build_book(bencher: Bencher<'_, '_>) {
    let planned = planned();
    let mut number = 0;
    bencher.bench_local(|| {
        number += 1;
        let of = BookOf {
            build: &planned.build,
            plan: &planned.plan,
            first_plan: None,
            balance: Some(&planned.balance),
            assembly: &planned.assembly,
            condition: &planned.condition,
            record: None,
        };
        black_box(book(&of, &stamp(number)).paper.pdf().unwrap())
    });
}
