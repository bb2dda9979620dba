"""The invented company's people: one user a role, a crew, an engineer with a throw-away certificate."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from secrets import token_urlsafe

from django.conf import settings
from django.utils import timezone

from jobs.models import Crew, Role, User
from jobs.services import clients, people
from reports import demo_engineer

LICENCE_NUMBER = "DEMO-0000"
NAMES = {
    Role.OFFICE: ("olive", "Olive", "Brandt (invented)"),
    Role.ESTIMATOR: ("emery", "Emery", "Valdane (invented)"),
    Role.ENGINEER: ("edda", "Edda", "Thornquist (invented)"),
    Role.INSTALLER: ("ines", "Ines", "Calloway (invented)"),
}


@dataclass(frozen=True, slots=True)
class People:
    office: User
    estimator: User
    engineer: User
    installer: User
    crew: Crew
    key: demo_engineer.ThrowAwayKey
    licence: str
    passwords: dict[str, str]  # user name → password, shown once


def make(today: date) -> People:
    """The company's row, a user for each role, the engineer's licence and certificate, one crew."""
    passwords = {username: token_urlsafe(12) for username, _, _ in NAMES.values()}
    username, first, last = NAMES[Role.OFFICE]
    office = people.create_first_user(username=username, password=passwords[username], first_name=first, last_name=last)
    clients.set_company(
        by=office,
        name="Plumb & Level Retrofit (invented for the demo)",
        address="1 Sawhorse Yard, Alder Flat, CA 00000",
        phone="555-0100",
        email="office@stemwall.example",
        contractor_licence="none: invented for the demo",
        bar_stock_in=[1.5, 1.625, 1.75, 2.0],
        species_list=[
            {"species": "Douglas Fir-Larch", "specific_gravity": 0.5, "built_from": None, "built_to": None},
            {"species": "Hem-Fir", "specific_gravity": 0.43, "built_from": 1940, "built_to": None},
            {"species": "redwood, close grain", "specific_gravity": 0.44, "built_from": None, "built_to": 1970},
        ],
        demo=True,
    )
    others = {
        role: people.create_user(
            username=name, password=passwords[name], roles=[role], by=office, first_name=first, last_name=last
        )
        for role, (name, first, last) in NAMES.items()
        if role != Role.OFFICE
    }
    engineer, installer = others[Role.ENGINEER], others[Role.INSTALLER]
    licence = people.add_licence(
        user_id=engineer.pk,
        state="CA",
        number=LICENCE_NUMBER,
        discipline="Invented",
        expires_on=today + timedelta(days=500),
        by=office,
    )
    key = demo_engineer.load_or_make_key(
        settings.ENV.var / "demo-engineer.p12", name=engineer.display_name, now=timezone.now()
    )
    people.enrol_certificate(user_id=engineer.pk, certificate_pem=key.certificate_pem, by=office)
    crew = people.create_crew(name="Crew 1", lead_id=installer.pk, member_ids=[], by=office)
    return People(office, others[Role.ESTIMATOR], engineer, installer, crew, key, str(licence), passwords)
