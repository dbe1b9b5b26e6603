"""Workbooks written by openpyxl and odfpy, writers independent of the reader under test; argument: a folder."""

import datetime
import sys

import openpyxl
from odf.opendocument import OpenDocumentSpreadsheet
from odf.style import Style, TableProperties
from odf.table import CoveredTableCell, Table, TableCell, TableColumn, TableRow
from odf.text import LineBreak, P, S, Span
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.comments import Comment
from openpyxl.utils.datetime import CALENDAR_MAC_1904

folder = sys.argv[1]


def range_xlsx():
    book = openpyxl.Workbook()
    stock = book.active
    stock.title = "Stock"
    stock["A1"] = "Spring list, all prices in euro"
    stock.merge_cells("A1:F1")
    stock["B2"] = "Stack"
    stock.merge_cells("B2:C2")
    stock.append(["Style", "Heel", "Forefoot", "GTIN", "Code", "Price", "Margin", "Day", "Size", "Plate", "Mass", "US"])
    stock.append(["Größe 靴", 18.8, 8, 4006381333931, 123, 139.9, 0.075, datetime.date(2026, 5, 9), 42 + 2 / 3, True, 280, 9.5])
    formats = {"E4": "000000", "F4": "#,##0.00 [$€-407]", "G4": "0.0%", "I4": "# ?/?", "K4": '0" g"', "L4": '"US "0.0'}
    for address, code in formats.items():
        stock[address].number_format = code
    stock["A4"].comment = Comment("not part of the cell", "nobody")
    stock["A5"] = CellRichText(TextBlock(InlineFont(b=True), "Bold"), " and plain ")
    stock["B5"] = "=B4*2"
    stock["C5"] = "#REF!"
    stock["D5"] = "  kept & <all>\nof it  "
    stock["E5"] = 0.1 + 0.2
    stock["F5"] = datetime.datetime(2026, 5, 9, 13, 30)
    stock["A6"] = "not to be seen"
    stock["A7"] = "nor this"
    for row in (6, 7):
        stock.row_dimensions[row].hidden = True
    stock["A9"] = "after a blank"
    stock["B9"] = False
    stock["N9"] = "bought for"
    stock.column_dimensions["N"].hidden = True
    for title, state in (("Draft", "hidden"), ("Secret", "veryHidden")):
        book.create_sheet(title)["A1"] = "x"
        book[title].sheet_state = state
    book.create_sheet("Empty")
    book.create_chartsheet("Chart")
    book.create_sheet("Räume & mehr")["C3"] = "c"
    book.save(f"{folder}/range.xlsx")


def mac_xlsx():
    book = openpyxl.Workbook()
    book.epoch = CALENDAR_MAC_1904
    book.active.append([datetime.date(2026, 5, 9)])
    book.save(f"{folder}/mac.xlsx")


def range_ods():
    book = OpenDocumentSpreadsheet()
    unseen = Style(name="unseen", family="table")
    unseen.addElement(TableProperties(display="false"))
    book.automaticstyles.addElement(unseen)

    def cell(text=None, **attributes):
        made = TableCell(**attributes)
        if text is not None:
            made.addElement(P(text=text))
        return made

    def number(value, text, kind="float", **attributes):
        return cell(text, valuetype=kind, value=str(value), **attributes)

    def add(table, cells, **attributes):
        row = TableRow(**attributes)
        for made in cells:
            row.addElement(made)
        table.addElement(row)

    stock = Table(name="Stock")
    stock.addElement(TableColumn(numbercolumnsrepeated=7))
    stock.addElement(TableColumn(visibility="collapse"))
    title = cell("Spring list", valuetype="string", numbercolumnsspanned=3, numberrowsspanned=1)
    add(stock, [title, CoveredTableCell(), CoveredTableCell()])
    add(stock, [
        number(18.8, "18,8"),
        number(4006381333931, "4,01E+12"),
        number(123, "000123"),
        number(42.6666666666667, "42 2/3"),
        number(0.075, "7,5 %", "percentage"),
        number(139.9, "139,90 €", "currency", currency="EUR"),
        number(280, "280 g"),
        cell("bought for", valuetype="string"),
    ])
    mixed = TableCell(valuetype="string")
    first = P(text="a")
    first.addElement(S(c=3))
    first.addElement(Span(text="b"))
    first.addElement(LineBreak())
    first.addText("c")
    mixed.addElement(first)
    mixed.addElement(P(text="d"))
    add(stock, [
        cell("09.05.26", valuetype="date", datevalue="2026-05-09"),
        cell("WAHR", valuetype="boolean", booleanvalue="true"),
        cell("FALSCH", valuetype="boolean", booleanvalue="false"),
        mixed,
        cell(formula="of:=[.A2]*2"),
        cell("#REF!", valuetype="string", formula="of:=1/0"),
        number(37.6, "37,6", formula="of:=[.A2]*2"),
    ])
    add(stock, [cell("not to be seen")], visibility="collapse")
    add(stock, [cell("nor this")], visibility="filter")
    add(stock, [cell(numbercolumnsrepeated=2), cell("again", numbercolumnsrepeated=3)], numberrowsrepeated=2)
    add(stock, [cell(numbercolumnsrepeated=16384)], numberrowsrepeated=1048569)
    book.spreadsheet.addElement(stock)
    draft = Table(name="Draft", stylename="unseen")
    add(draft, [cell("x")])
    book.spreadsheet.addElement(draft)
    more = Table(name="Räume & mehr")
    add(more, [cell("c")])
    book.spreadsheet.addElement(more)
    book.save(f"{folder}/range.ods")


range_xlsx()
mac_xlsx()
range_ods()
