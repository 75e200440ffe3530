"""Notes of a cath lab with invented identifiers in them, one JSON object a line.

    target/python/bin/python tests/python/notes.py [--notes N] [--seed S]

Each has its text, the locale whose names, streets and numbers Faker made up, the half of the templates and
locales it belongs to ("tuned" or "held out"), and where what kind of identifier stands, in bytes of UTF-8.
A fifth of the notes hold no identifier. The same seed gives the same notes.
"""

import argparse
import json
import random
import sys
import uuid
from datetime import date

from faker import Faker

from templates import FREE, FREE_HELD, LOCAL, SENTENCES, SENTENCES_HELD

TUNED_LOCALES = ["en_GB", "de_DE", "es_ES", "pl_PL", "en_IN", "sv_SE"]
HELD_LOCALES = ["en_US", "fr_FR", "it_IT", "tr_TR", "nl_NL", "pt_BR"]

HOSPITALS = {
    "en": ["{} General Hospital", "{} Infirmary", "St {}'s Hospital", "{} Memorial Hospital", "{} Medical Center", "Royal {} Hospital"],
    "de": ["Klinikum {}", "Krankenhaus {}", "Universitätsklinikum {}"],
    "fr": ["CHU de {}", "Hôpital {}", "Clinique {}"],
    "es": ["Hospital {}", "Hospital Universitario de {}", "Clínica {}"],
    "it": ["Ospedale {}", "Policlinico {}", "Ospedale di {}"],
    "pl": ["Szpital {}"],
    "tr": ["{} Hastanesi"],
    "nl": ["{} Ziekenhuis", "Ziekenhuis {}"],
    "pt": ["Hospital {}", "Hospital de {}"],
    "sv": ["{} Sjukhus"],
}
TITLES = {
    "en": ["Dr", "Dr.", "Mr", "Mrs", "Ms", "Miss", "Prof.", "Professor"],
    "de": ["Dr.", "Herr", "Frau", "Prof. Dr.", "Herr Dr."],
    "fr": ["Dr", "M.", "Mme", "Pr", "Docteur"],
    "es": ["Dr.", "Dra.", "Sr.", "Sra.", "Doña"],
    "it": ["Dott.", "Dott.ssa", "Signora", "Sig.", "Prof."],
    "pl": ["dr", "Pan", "Pani", "prof."],
    "tr": ["Dr.", "Prof. Dr.", "Op. Dr."],
    "nl": ["dr.", "Dhr.", "Mevr.", "Mw."],
    "pt": ["Dr.", "Dra.", "Sr.", "Sra."],
    "sv": ["Dr", "Dr.", "Herr", "Fru"],
}
MONTHS = {
    "de": "Januar Februar März April Mai Juni Juli August September Oktober November Dezember".split(),
    "fr": "janvier février mars avril mai juin juillet août septembre octobre novembre décembre".split(),
    "es": "enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre".split(),
    "it": "gennaio febbraio marzo aprile maggio giugno luglio agosto settembre ottobre novembre dicembre".split(),
    "pl": "stycznia lutego marca kwietnia maja czerwca lipca sierpnia września października listopada grudnia".split(),
    "tr": "Ocak Şubat Mart Nisan Mayıs Haziran Temmuz Ağustos Eylül Ekim Kasım Aralık".split(),
    "nl": "januari februari maart april mei juni juli augustus september oktober november december".split(),
    "pt": "janeiro fevereiro março abril maio junho julho agosto setembro outubro novembro dezembro".split(),
    "sv": "januari februari mars april maj juni juli augusti september oktober november december".split(),
}


# Days that do not move with the clock.
FIRST_DAY, LAST_DAY = date(2015, 1, 1), date(2024, 12, 31)


class Maker:
    """Makes up identifiers of one locale; `slot` gives the words and the kind of a slot of a template."""

    def __init__(self, locale, seed):
        self.fake = Faker(locale)
        self.fake.seed_instance(seed)
        self.any = random.Random(seed)
        self.language = locale[:2]
        self.locale = locale

    def digits(self, count):
        return "".join(self.any.choice("0123456789") for _ in range(count))

    def slot(self, name):
        kind = name.split("_")[0]
        return getattr(self, name)(), kind

    # Names. What Faker puts before and after a name (Dr., Jr.) stays as it is.
    def name_full(self):
        return f"{self.fake.first_name()} {self.fake.last_name()}"

    def name_faker(self):
        return self.fake.name()

    def name_first(self):
        return self.fake.first_name()

    def name_last(self):
        return self.fake.last_name()

    def name_titled(self):
        title = self.any.choice(TITLES[self.language])
        return f"{title} {self.any.choice([self.fake.last_name, self.name_full])()}"

    def name_initial(self):
        return f"{self.fake.first_name()[0]}. {self.fake.last_name()}"

    def name_capitals(self):
        return f"{self.fake.last_name().upper()}, {self.fake.first_name()}"

    def initials(self):
        return f"{self.fake.first_name()[0]}.{self.fake.last_name()[0].upper()}."

    # Days and times.
    def date(self):
        return self.fake.date_between(FIRST_DAY, LAST_DAY)

    def date_day(self):
        day = self.date()
        formats = ["%d/%m/%Y", "%d.%m.%Y", "%Y-%m-%d", "%d/%m/%y", "%d-%b-%Y", "%d %B %Y", "%B %d, %Y", "%d %b %Y", "%-d.%-m.%Y", "%d-%m-%Y", "%-d %B", "%b %-d, %Y"]
        if self.language in MONTHS:
            month = MONTHS[self.language][day.month - 1]
            own = {"de": f"{day.day}. {month} {day.year}", "es": f"{day.day} de {month} de {day.year}", "pt": f"{day.day} de {month} de {day.year}"}
            formats.extend([own.get(self.language, f"{day.day} {month} {day.year}")] * 4)
        return day.strftime(self.any.choice(formats))

    def date_month(self):
        return self.date().strftime(self.any.choice(["%B %Y", "%m/%Y", "%b %Y"]))

    def clock(self):
        return self.fake.time(self.any.choice(["%H:%M", "%H:%M", "%H:%M:%S", "%I:%M %p"]))

    def weekday(self):
        return self.date().strftime("%A")

    def age_years(self):
        return f"{self.any.randint(90, 104)}{self.any.choice(['-year-old', ' year old', ' yo', ' years old', '-yr-old', ' y/o'])}"

    def age_number(self):
        return str(self.any.randint(90, 104))

    # What reaches a person or a machine.
    def phone(self):
        return self.fake.phone_number()

    def email(self):
        return self.fake.email()

    def url(self):
        return self.fake.uri() if self.any.random() < 0.7 else f"www.{self.fake.domain_name()}/{self.fake.uri_path()}"

    def handle(self):
        return f"@{self.fake.user_name()}"

    def network_four(self):
        return self.fake.ipv4()

    def network_six(self):
        return self.fake.ipv6()

    def network_mac(self):
        return self.fake.mac_address()

    # Places.
    def address_street(self):
        return self.fake.street_address().replace("\n", ", ").strip()

    def address_whole(self):
        return self.fake.address().replace("\n", ", ").strip()

    def address_postcode(self):
        return self.fake.postcode()

    def location_town(self):
        return self.fake.city()

    def location_ward(self):
        return self.any.choice([f"Ward {self.any.randint(1, 40)}", f"bed {self.any.randint(1, 30)}", f"Ward {self.any.randint(1, 9)}{self.any.choice('ABC')}", f"{self.fake.last_name()} Ward", f"bay {self.any.randint(1, 9)}"])

    def hospital(self):
        return self.any.choice(HOSPITALS[self.language]).format(self.any.choice([self.fake.city, self.fake.last_name])())

    def coordinates(self):
        return f"{self.fake.latitude():.5f}, {self.fake.longitude():.5f}"

    # Numbers. The word before a number is part of the template.
    def record_number(self):
        return self.any.choice([self.digits(7), self.digits(8), self.any.choice("ABKX") + self.digits(6), f"{self.digits(3)} {self.digits(3)} {self.digits(4)}", f"{self.digits(2)}-{self.digits(2)}-{self.digits(4)}"])

    def record_national(self):
        return self.fake.ssn()

    def accession(self):
        return self.any.choice([f"{self.any.choice(['CR', 'XA', 'RF'])}-{self.digits(2)}-{self.digits(5)}", self.digits(8), self.digits(9)])

    def device_serial(self):
        return self.any.choice([f"{self.digits(2)}{self.any.choice('AXK')}-{self.digits(4)}", self.digits(9), f"{self.any.choice(['GX', 'PM', 'ST'])}{self.digits(7)}"])

    def device_udi(self):
        return f"(01){self.digits(14)}(17){self.any.randint(26, 32)}1130(10){self.any.choice('ABQ')}{self.digits(5)}"

    def account_iban(self):
        return self.fake.iban()

    def account_card(self):
        number = self.fake.credit_card_number("visa16")
        return " ".join(number[at:at + 4] for at in range(0, 16, 4))

    def licence(self):
        return self.any.choice([self.digits(7), f"{self.any.choice('ABCD')}-{self.digits(6)}", self.digits(10)])

    def vehicle_plate(self):
        return self.fake.license_plate()

    def vehicle_vin(self):
        return self.fake.vin()

    def code_uuid(self):
        return str(uuid.UUID(int=self.any.getrandbits(128), version=4))

    def code_reference(self):
        return self.any.choice([f"{self.digits(4)}-{self.digits(3)}", f"W-{self.digits(6)}", self.digits(8)])


def fill(template, maker):
    """The text of a template, and the spans of what was put in, in characters."""
    text, spans = "", []
    for index, part in enumerate(template.replace("}", "{").split("{")):
        if index % 2 == 0:
            text += part
            continue
        words, kind = maker.slot(part)
        spans.append((len(text), len(text) + len(words), kind))
        text += words
    return text, spans


def note(maker, sentences, free, any_of):
    """A note of one to four sentences, of which one or two hold identifiers."""
    chosen = [any_of.choice(sentences) for _ in range(any_of.randint(1, 2))]
    chosen += [any_of.choice(free) for _ in range(any_of.randint(0, 2))]
    any_of.shuffle(chosen)
    text, spans = "", []
    for sentence in chosen:
        text += any_of.choice([" ", " ", "\n"]) if text else ""
        filled, inside = fill(sentence, maker)
        spans += [(start + len(text), end + len(text), kind) for start, end, kind in inside]
        text += filled
    return text, spans


def in_bytes(text, spans):
    place = lambda at: len(text[:at].encode())
    return [{"start": place(start), "end": place(end), "kind": kind} for start, end, kind in spans]


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--notes", type=int, default=6_000)
    arguments.add_argument("--seed", type=int, default=20_260)
    asked = arguments.parse_args()
    any_of = random.Random(asked.seed)
    makers = [Maker(locale, asked.seed + index) for index, locale in enumerate(TUNED_LOCALES + HELD_LOCALES)]
    for number in range(asked.notes):
        maker = makers[number % len(makers)]
        # Both halves of the templates meet both halves of the locales.
        held_templates = (number // len(makers)) % 2 == 1
        sentences, free = (SENTENCES_HELD, FREE_HELD) if held_templates else (SENTENCES, FREE)
        if number % 5 == 4:
            text, spans = " ".join(any_of.sample(free, any_of.randint(2, 5))), []
        else:
            text, spans = note(maker, sentences + LOCAL.get(maker.language, []) * (not held_templates), free, any_of)
        half = "held out" if held_templates or maker.locale in HELD_LOCALES else "tuned"
        told = {"locale": maker.locale, "half": half, "text": text, "spans": in_bytes(text, spans)}
        sys.stdout.write(json.dumps(told, ensure_ascii=False) + "\n")


if __name__ == "__main__":
    main()
