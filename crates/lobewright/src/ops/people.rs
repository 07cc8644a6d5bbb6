//! People of the shop: there is always an owner who can sign in.

use records::{Person, PersonId, RecordsError, Shop};

/// The role of whoever may do everything.
pub const OWNER: &str = "owner";

/// What a person may do, by their role. A shop calls what people do as it likes; three words have
/// rights of their own, and whoever is called otherwise (assembler, inspector) may do what a builder
/// may: before there were rights, everybody who was not the owner did.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Role {
    /// Reads, takes readings, makes what the machine is run by.
    Machinist,
    /// All work on builds.
    Builder,
    /// Everything.
    Owner,
}

impl Role {
    /// Every role there is, the one with the fewest rights first.
    pub const ALL: [Self; 3] = [Self::Machinist, Self::Builder, Self::Owner];

    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Machinist => "machinist",
            Self::Builder => "builder",
            Self::Owner => OWNER,
        }
    }

    /// What the shop's own word for a role may do. The owner's word is kept in one form; a
    /// machinist's may have been typed before it had rights of its own.
    #[must_use]
    pub fn of(word: &str) -> Self {
        if word == OWNER {
            Self::Owner
        } else if word.trim().eq_ignore_ascii_case(Self::Machinist.word()) {
            Self::Machinist
        } else {
            Self::Builder
        }
    }
}

/// A role as it is kept: one with rights of its own is one word, however it was typed.
///
/// # Errors
/// Where it is empty.
fn role(typed: &str) -> Result<String, RecordsError> {
    let typed = typed.trim();
    if typed.is_empty() {
        let why = "a role is empty; say what they do, such as builder or machinist".to_owned();
        return Err(RecordsError::Refused { why });
    }
    let known = Role::ALL.into_iter().find(|role| typed.eq_ignore_ascii_case(role.word()));
    Ok(known.map_or_else(|| typed.to_owned(), |role| role.word().to_owned()))
}

/// Whether anybody but this one is an owner who can sign in.
fn other_owner(shop: &Shop, but: PersonId) -> Result<bool, RecordsError> {
    for person in shop.people()? {
        if person.id != but
            && person.active
            && person.role == OWNER
            && shop.password(person.id)?.is_some()
        {
            return Ok(true);
        }
    }
    Ok(false)
}

/// Adds a person with what their password is checked by.
///
/// # Errors
/// Where the name is taken or empty, or the role is empty.
pub fn add(
    shop: &Shop,
    name: &str,
    typed_role: &str,
    hashed: &str,
) -> Result<PersonId, RecordsError> {
    let id = shop.add_person(name, &role(typed_role)?)?;
    shop.set_password(id, Some(hashed))?;
    Ok(id)
}

/// Changes a person. Whoever no longer works here, or has another role, is signed out everywhere.
///
/// # Errors
/// Where the name is taken, or the shop would be without an owner.
pub fn change(shop: &Shop, changed: Person) -> Result<(), RecordsError> {
    let before = shop.person(changed.id)?;
    let changed = Person { role: role(&changed.role)?, ..changed };
    let stays = changed.active && changed.role == OWNER;
    let was = before.active && before.role == OWNER;
    if was && !stays && !other_owner(shop, changed.id)? {
        let name = before.name;
        let why = format!("{name} is the only owner; make somebody else an owner first");
        return Err(RecordsError::Refused { why });
    }
    shop.change_person(&changed)?;
    if !changed.active || changed.role != before.role {
        shop.end_sessions(None, Some(changed.id))?;
    }
    Ok(())
}

/// Gives a person another password, and ends their sessions.
///
/// # Errors
/// Where there is no such person.
pub fn new_password(shop: &Shop, id: PersonId, hashed: &str) -> Result<(), RecordsError> {
    shop.set_password(id, Some(hashed))?;
    shop.end_sessions(None, Some(id))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shop_keeps_an_owner_who_can_sign_in() {
        let folder = tempfile::tempdir().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let ada = add(&shop, "Ada", " Owner ", "hash").unwrap();
        assert_eq!(shop.person(ada).unwrap().role, OWNER);
        let ben = shop.add_person("Ben", OWNER).unwrap();
        let demoted = Person { role: "builder".to_owned(), ..shop.person(ada).unwrap() };
        let gone = Person { active: false, ..shop.person(ada).unwrap() };
        // Ben has no password yet.
        for changed in [&demoted, &gone] {
            let said = change(&shop, changed.clone()).unwrap_err().to_string();
            assert!(said.contains("Ada is the only owner"), "{said}");
        }
        new_password(&shop, ben, "hash").unwrap();
        change(&shop, gone).unwrap();
        assert!(change(&shop, Person { active: false, ..shop.person(ben).unwrap() }).is_err());
        assert!(add(&shop, "Cleo", " ", "hash").is_err());
        assert!(add(&shop, "Ben", "builder", "hash").is_err());
    }

    #[test]
    fn three_words_have_rights_and_every_other_one_a_builders() {
        for role in Role::ALL {
            assert_eq!(Role::of(role.word()), role);
        }
        assert_eq!(Role::of(" Machinist"), Role::Machinist);
        for word in ["assembler", "inspector", "Owner of the mill", "owner ", "", "machinist 2"] {
            assert_eq!(Role::of(word), Role::Builder, "{word:?}");
        }
        assert_eq!(role(" MACHINIST ").unwrap(), "machinist");
        assert_eq!(role(" Inspector ").unwrap(), "Inspector");
    }
}
