"""6: an Italian ods: cm and kg in the headings, a percentage that is no measure, true booleans, a million empty rows below."""

from odf.number import CurrencyStyle, CurrencySymbol, Number, NumberStyle, PercentageStyle, Text
from odf.opendocument import OpenDocumentSpreadsheet
from odf.style import Style
from odf.table import Table, TableCell, TableRow
from odf.text import P

from ranges import facts, where, words
from truth import Expect, Truth
from writers import comma, save_ods, table

NAME = "06-italian.ods"
MAKER = "Corvenza"
TAB = "Listino"
COLUMNS = (
    ("Codice articolo", "number"), ("Modello", "name"), ("Genere", "audience"), ("Terreno", "surface"),
    ("Altezza tallone (cm)", "heel_stack"), ("Altezza avampiede (cm)", "forefoot_stack"),
    ("Differenziale (mm)", "drop"), ("Peso (kg)", "mass"), ("Flessibilità", "bending"), ("Piastra", "plate"),
    ("Soletta estraibile", "liner_removable"), ("Sconto %", "_discount"), ("Prezzo al pubblico", "price"),
    ("Note", "notes"),
)
UNITS = {"heel_stack": "cm", "forefoot_stack": "cm", "mass": "kg"}
STYLES = table("""
number | name       | audience | surface    | heel_stack | forefoot_stack | drop | mass   | bending       | plate | liner_removable | _discount | price  | notes
CV-040 | Zolla      | men      | road       | 3.4        | 2.6            | 8    | 0.268  | medium        | no    | yes             | 0.4       | 139.00 |
CV-041 | Zolla      | women    | road       | 3.4        | 2.6            | 8    | 0.2315 | medium        | no    | yes             | 0.4       | 139.00 |
CV-052 | Sentierone | men      | trail      | 3.25       | 2.8            | 4.5  | 0.302  | stiff         |       | yes             | 0.35      | 159.90 | Perché è così alta? Suola nuova.
CV-053 | Sentierone | women    | trail      | 3.25       | 2.8            | 4.5  | 0.264  | stiff         |       | yes             | 0.35      | 159.90 |
CV-060 | Brecciola  | unisex   | road,trail | 2.9        | 2.3            | 6    | 0.255  | flexible      | no    | yes             | 0.4       | 129.00 |
CV-066 | Ventata    | unisex   | road       | 3.95       | 3.15           | 8    | 0.196  | very stiff    | yes   | no              | 0.3       | 249.00 |
CV-071 | Scalza     | unisex   | road       | 1.2        | 1.2            | 0    | 0.174  | very flexible | no    | yes             | 0.4       | 109.90 |
CV-078 | Lenta      | men      | road       | 4.0        | 3.2            | 8    | 0.291  | medium        | no    |                 | 0.4       | 164.90 |
CV-079 | Lenta      | women    | road       | 4.0        | 3.2            | 8    | 0.2545 | medium        | no    |                 | 0.4       | 164.90 |
CV-085 | Pistarola  | unisex   | track      | 1.75       | 1.35           | 4    | 0.142  | very stiff    | yes   | no              | 0.3       | 134.50 |
CV-090 | Germoglio  | youth    | road       | 2.4        | 1.8            | 6    |        | flexible      | no    | yes             | 0.4       | 64.90  | Peso da confermare.
CV-097 | Passeggio  | women    | road       |            |                | 10   | 0.27   |               | no    | yes             | 0.4       | 99.90  |
""")
PRINTERS = {
    "audience": words({"men": "Uomo", "women": "Donna", "unisex": "Unisex", "youth": "Bambini"}),
    "surface": words({"road": "strada", "trail": "sentiero", "track": "pista"}),
    "bending": words({"very flexible": "molto flessibile", "flexible": "flessibile", "medium": "media",
                      "stiff": "rigida", "very stiff": "molto rigida"}),
    "liner_removable": words({"yes": "sì", "no": "no"}),
}
NUMBERS = ("heel_stack", "forefoot_stack", "drop", "mass")


def make(folder):
    """Writes the document; returns its truth and what to expect."""
    document, truth = OpenDocumentSpreadsheet(), Truth(UNITS)
    shown = number_styles(document)
    sheet = Table(name=TAB)
    expect = Expect(NAME, "Corvenza", "full", len(STYLES), tabs=[TAB])
    expect.answers = {"maker": MAKER}
    add_row(sheet, [text_cell(heading) for heading, _ in COLUMNS])
    for style in STYLES:
        add_row(sheet, [cell(key, style[key], shown) for _, key in COLUMNS])
        facts(truth, style, MAKER)
    add_rest(sheet)
    document.spreadsheet.addElement(sheet)
    expect.leave_out("heading", 1, tab=TAB)
    expect.finding("heading-unknown", 0, *where(COLUMNS, "_discount"), tab=TAB)
    save_ods(document, folder / NAME)
    return truth, expect


def number_styles(document):
    """Percent and euro as an office program declares them."""
    percent = PercentageStyle(name="N11")
    percent.addElement(Number(decimalplaces="0", minintegerdigits="1"))
    percent.addElement(Text(text=" %"))
    euro = CurrencyStyle(name="N106")
    euro.addElement(Number(decimalplaces="2", minintegerdigits="1", grouping="true"))
    euro.addElement(CurrencySymbol(language="it", country="IT", text="€"))
    names = {}
    for key, style in (("percentage", percent), ("currency", euro)):
        document.automaticstyles.addElement(style)
        names[key] = Style(name=f"ce-{key}", family="table-cell", datastylename=style)
        document.automaticstyles.addElement(names[key])
    return names


def cell(key, text, shown):
    """A cell with the type that the office program gave it."""
    if not text:
        return TableCell()
    if key == "_discount":
        return typed(f"{float(text):.0%}".replace("%", " %"), "percentage", value=text, stylename=shown["percentage"])
    if key == "price":
        return typed(f"{comma(text)} €", "currency", value=text, currency="EUR", stylename=shown["currency"])
    if key == "plate":
        truth = text == "yes"
        return typed("VERO" if truth else "FALSO", "boolean", booleanvalue="true" if truth else "false")
    if key in NUMBERS:
        return typed(comma(text), "float", value=text)
    return text_cell(PRINTERS.get(key, str)(text))


def typed(shown, kind, **attributes):
    """A cell of a type, with the text that the office program shows for it."""
    made = TableCell(valuetype=kind, **attributes)
    made.addElement(P(text=shown))
    return made


def text_cell(text):
    """A cell of plain text."""
    return typed(text, "string")


def add_row(sheet, cells):
    """A row of these cells."""
    row = TableRow()
    for made in cells:
        row.addElement(made)
    sheet.addElement(row)


def add_rest(sheet):
    """The rest of the sheet, as office programs write it: one empty row, repeated."""
    row = TableRow(numberrowsrepeated="1048563")
    row.addElement(TableCell(numbercolumnsrepeated="16384"))
    sheet.addElement(row)
