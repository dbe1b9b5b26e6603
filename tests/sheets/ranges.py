"""Sheets with a row a style, a heading a column: the layout that several dialects share."""

NO_FACTS = ("maker", "number", "name")


def say(style, columns, printers):
    """The printed cells of a style, in the order of the columns; a printer turns plain English into the dialect."""
    return [printers.get(key, str)(style[key]) if style.get(key) else "" for _, key in columns]


def facts(truth, style, maker, but=()):
    """Tells the truth about a style, all but the columns named."""
    values = {key: text for key, text in style.items() if key not in NO_FACTS and key not in but}
    truth.style(maker, style["number"], style["name"], **values)


def words(pairs):
    """A printer by dictionary; lists in plain English (`daily,long`) become lists of the dialect."""
    return lambda text: pairs[text] if text in pairs else ", ".join(pairs[word] for word in text.split(","))


def where(columns, key):
    """The letter and the heading of a column."""
    index = [column[1] for column in columns].index(key)
    return chr(ord("A") + index), columns[index][0]
