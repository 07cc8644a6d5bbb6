//! Customers, and what they brought in.

use crate::error::{Fault, RecordsError};
use crate::folded::folded;
use crate::ids::{CustomerId, IntakeId, PersonId};
use crate::shop::Shop;
use crate::time::{Day, Moment};
use rusqlite::{OptionalExtension, Row};

/// A customer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Customer {
    /// Their number.
    pub id: CustomerId,
    /// What they are called.
    pub name: String,
    /// How they are reached.
    pub contact: String,
    /// What else is worth knowing.
    pub note: String,
}

/// What a customer brought in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewIntake<'a> {
    /// Whose.
    pub customer: CustomerId,
    /// What came in.
    pub came_in: &'a str,
    /// What is wanted.
    pub wanted: &'a str,
    /// By when.
    pub due: Option<&'a Day>,
    /// Who took it in.
    pub person: PersonId,
    /// When.
    pub at: &'a Moment,
}

/// An intake as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Intake {
    /// Its number.
    pub id: IntakeId,
    /// Whose.
    pub customer: CustomerId,
    /// What came in.
    pub came_in: String,
    /// What is wanted.
    pub wanted: String,
    /// By when.
    pub due: Option<Day>,
    /// Who took it in.
    pub person: PersonId,
    /// When.
    pub at: Moment,
}

fn customer(row: &Row<'_>) -> rusqlite::Result<Customer> {
    Ok(Customer { id: row.get(0)?, name: row.get(1)?, contact: row.get(2)?, note: row.get(3)? })
}

fn intake(row: &Row<'_>) -> rusqlite::Result<Intake> {
    Ok(Intake {
        id: row.get(0)?,
        customer: row.get(1)?,
        came_in: row.get(2)?,
        wanted: row.get(3)?,
        due: row.get(4)?,
        person: row.get(5)?,
        at: row.get(6)?,
    })
}

impl Shop {
    /// Adds a customer.
    ///
    /// # Errors
    /// Where they have no name.
    pub fn add_customer(
        &self,
        name: &str,
        contact: &str,
        note: &str,
    ) -> Result<CustomerId, RecordsError> {
        self.write(|tx| {
            let id = tx
                .prepare_cached("INSERT INTO customer (name, contact, note) VALUES (?1, ?2, ?3)")?
                .insert((name, contact, note))?;
            Ok(CustomerId(id))
        })
    }

    /// Changes what is known of a customer.
    ///
    /// # Errors
    /// Where there is no such customer.
    pub fn change_customer(&self, changed: &Customer) -> Result<(), RecordsError> {
        let Customer { id, name, contact, note } = changed;
        self.write(|tx| {
            let count = tx.execute(
                "UPDATE customer SET name = ?2, contact = ?3, note = ?4 WHERE id = ?1",
                (id, name, contact, note),
            )?;
            if count == 1 { Ok(()) } else { Err(Fault::not_there("customer", id)) }
        })
    }

    /// One customer.
    ///
    /// # Errors
    /// Where there is none of that number.
    pub fn customer(&self, id: CustomerId) -> Result<Customer, RecordsError> {
        self.read(|connection| {
            connection
                .prepare_cached("SELECT id, name, contact, note FROM customer WHERE id = ?1")?
                .query_row([id], customer)
                .optional()?
                .ok_or_else(|| Fault::not_there("customer", id))
        })
    }

    /// Customers whose name or contact has this in it, by name; all of them for an empty text.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn customers(&self, text: &str) -> Result<Vec<Customer>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(
                "SELECT id, name, contact, note FROM customer
                 WHERE ?1 = '' OR found_in(?1, name) OR found_in(?1, contact)
                 ORDER BY name, id",
            )?;
            Ok(statement.query_map([folded(text)], customer)?.collect::<Result<_, _>>()?)
        })
    }

    /// Keeps what a customer brought in.
    ///
    /// # Errors
    /// Where there is no such customer or person.
    pub fn add_intake(&self, new: &NewIntake<'_>) -> Result<IntakeId, RecordsError> {
        self.write(|tx| {
            let id = tx
                .prepare_cached(
                    "INSERT INTO intake (customer, came_in, wanted, due, person, at)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                )?
                .insert((new.customer, new.came_in, new.wanted, new.due, new.person, new.at))?;
            Ok(IntakeId(id))
        })
    }

    /// One intake.
    ///
    /// # Errors
    /// Where there is none of that number.
    pub fn intake(&self, id: IntakeId) -> Result<Intake, RecordsError> {
        self.read(|connection| {
            connection
                .prepare_cached(
                    "SELECT id, customer, came_in, wanted, due, person, at FROM intake
                     WHERE id = ?1",
                )?
                .query_row([id], intake)
                .optional()?
                .ok_or_else(|| Fault::not_there("intake", id))
        })
    }

    /// What came in and has no build yet, the earliest due first.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn intakes_without_build(&self) -> Result<Vec<Intake>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(
                "SELECT i.id, i.customer, i.came_in, i.wanted, i.due, i.person, i.at
                 FROM intake i
                 WHERE NOT EXISTS (SELECT 1 FROM build b WHERE b.intake = i.id)
                 ORDER BY i.due IS NULL, i.due, i.id",
            )?;
            Ok(statement.query_map([], intake)?.collect::<Result<_, _>>()?)
        })
    }

    /// What a customer brought in, the last first.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn intakes_of(&self, customer: CustomerId) -> Result<Vec<Intake>, RecordsError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(
                "SELECT id, customer, came_in, wanted, due, person, at
                 FROM intake WHERE customer = ?1 ORDER BY id DESC",
            )?;
            Ok(statement.query_map([customer], intake)?.collect::<Result<_, _>>()?)
        })
    }
}
