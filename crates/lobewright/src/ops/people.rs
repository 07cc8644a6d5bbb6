//! People of the shop: there is always an owner who can sign in.

use records::{Person, PersonId, RecordsError, Shop};

/// The role of whoever may do everything.
pub const OWNER: &str = "owner";

/// A role as it is kept: the owner's is one word, however it was typed.
///
/// # Errors
/// Where it is empty.
fn role(typed: &str) -> Result<String, RecordsError> {
    let typed = typed.trim();
    if typed.is_empty() {
        let why = "a role is empty; say what they do, such as builder or machinist".to_owned();
        return Err(RecordsError::Refused { why });
    }
    Ok(if typed.eq_ignore_ascii_case(OWNER) { OWNER.to_owned() } else { typed.to_owned() })
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

/// Changes a person. Whoever no longer works here, or is no longer the owner, is signed out.
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
    if !changed.active || (was && !stays) {
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
}
