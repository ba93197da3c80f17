#!/bin/sh
# tests/reference/make_exports.sh: writes tests/reference/exports again, with LibreOffice Calc in three locales. Run by hand
# when an export is to be added; the files are committed and tests/lua/test_parts_csv.lua reads them. From the top of the
# tree; needs soffice with the languages de and fr (Debian: libreoffice-calc libreoffice-l10n-de libreoffice-l10n-fr) and
# python3. The parts are invented.
set -eu
out=tests/reference/exports
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir -p "$out"

# document LANGUAGE COUNTRY BROKEN > sheet.fods: heads and names in the language, numbers in the format of the country
document() {
  python3 - "$1" "$2" "$3" <<'PY'
import sys
from xml.sax.saxutils import escape

language, country, broken = sys.argv[1:]
heads = {
    "en": ["Part", "Assembly", "Quantity", "Mass (kg)", "x (mm)", "y (mm)", "z (mm)", "Weighed on", "Note"],
    "de": ["Bauteil", "Baugruppe", "Stückzahl", "Masse [kg]", "x / mm", "y / mm", "z / mm", "gewogen am", "Bemerkung"],
    "fr": ["Pièce", "Ensemble", "Quantité", "Masse (kg)", "x, mm", "y, mm", "z, mm", "pesé le", "Remarque"],
}[language]
total = {"en": "Total", "de": "Summe", "fr": "Total"}[language]
parts = [
    ("Kühler, \"links\"", "Kühlung/vorn", 1, 4.35, -350, -212.5, 300, "2024-03-05", "mit Schläuchen;\nohne Wasser"),
    ("moteur à plat", "", 1, 1096.25, 1810, 0, 345, "2024-03-06", "=no formula"),
    ("seat", "cabin", 2, 12.125, 1010.5, 0, 1250.25, "2024-12-31", ""),
    ("bolt 1/4\"", "", 16, 0.012, 2390, -60, 285, "2024-01-01", "2,5 lb each bag"),
]


def number(value, style):
    return f'<table:table-cell table:style-name="{style}" office:value-type="float" office:value="{value}"/>'


def text(value):
    lines = "".join(f"<text:p>{escape(line)}</text:p>" for line in value.split("\n"))
    return f'<table:table-cell office:value-type="string">{lines}</table:table-cell>'


def row(cells):
    return "<table:table-row>" + "".join(cells) + "</table:table-row>"


rows = [row(map(text, heads))]
for i, (name, group, count, mass, x, y, z, date, note) in enumerate(parts):
    place = [number(v, "grouped") for v in (x, y, z)]
    if broken == "yes" and i == 2:
        place[1] = '<table:table-cell table:formula="of:=1/0" office:value-type="float"/>'
    if broken == "value" and i == 2:
        place[1] = '<table:table-cell table:formula="of:=1+&quot;a&quot;" office:value-type="float"/>'
    rows.append(row([text(name), text(group), number(count, "plain"), number(mass, "mass"), *place,
                     f'<table:table-cell table:style-name="date" office:value-type="date" office:date-value="{date}"/>',
                     text(note)]))
rows.append(row([text("")]))
rows.append(row([text(total), text(""), text(""),
                 '<table:table-cell table:style-name="mass" table:formula="of:=SUMPRODUCT([.C2:.C5];[.D2:.D5])" '
                 'office:value-type="float"/>']))
print(f'''<?xml version="1.0" encoding="UTF-8"?>
<office:document xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"
 xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"
 xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:fo="urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0"
 xmlns:number="urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0" xmlns:of="urn:oasis:names:tc:opendocument:xmlns:of:1.2"
 office:version="1.3" office:mimetype="application/vnd.oasis.opendocument.spreadsheet">
<office:styles><style:default-style style:family="table-cell"><style:text-properties fo:language="{language}"
 fo:country="{country}"/></style:default-style><style:style style:name="Default" style:family="table-cell"/></office:styles>
<office:automatic-styles>
<number:number-style style:name="NG" number:language="{language}" number:country="{country}">
 <number:number number:decimal-places="2" number:min-decimal-places="2" number:min-integer-digits="1" number:grouping="true"/></number:number-style>
<number:number-style style:name="NM" number:language="{language}" number:country="{country}">
 <number:number number:decimal-places="3" number:min-decimal-places="3" number:min-integer-digits="1" number:grouping="true"/></number:number-style>
<number:number-style style:name="NP" number:language="{language}" number:country="{country}">
 <number:number number:decimal-places="0" number:min-integer-digits="1"/></number:number-style>
<number:date-style style:name="ND" number:language="{language}" number:country="{country}" number:automatic-order="true">
 <number:day number:style="long"/><number:text>.</number:text><number:month number:style="long"/><number:text>.</number:text>
 <number:year number:style="long"/></number:date-style>
<style:style style:name="grouped" style:family="table-cell" style:parent-style-name="Default" style:data-style-name="NG"/>
<style:style style:name="mass" style:family="table-cell" style:parent-style-name="Default" style:data-style-name="NM"/>
<style:style style:name="plain" style:family="table-cell" style:parent-style-name="Default" style:data-style-name="NP"/>
<style:style style:name="date" style:family="table-cell" style:parent-style-name="Default" style:data-style-name="ND"/>
</office:automatic-styles>
<office:body><office:spreadsheet><table:table table:name="parts">{"".join(rows)}</table:table></office:spreadsheet></office:body>
</office:document>''')
PY
}

# profile LANGUAGE COUNTRY: a profile of LibreOffice with that language and locale
profile() {
  mkdir -p "$work/$1/user"
  cat >"$work/$1/user/registrymodifications.xcu" <<XML
<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale"><value>$1-$2</value></prop></item>
<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooLocale"><value>$1</value></prop></item>
<item oor:path="/org.openoffice.Office.Linguistic/General"><prop oor:name="UILocale"><value>$1-$2</value></prop></item>
</oor:items>
XML
}

# convert LANGUAGE INPUT OUTPUT DELIMITER CHARSET: delimiter as its code; charsets: 76 UTF-8, 65535 UTF-16, 1 Windows-1252.
# Cells as shown, text not quoted unless it must be.
convert() {
  soffice "-env:UserInstallation=file://$work/$1" --headless --convert-to \
    "csv:Text - txt - csv (StarCalc):$4,34,$5,1,,0,false,false,true" --outdir "$work/made" "$2" >/dev/null 2>&1
  mv "$work/made/$(basename "$2" .fods).csv" "$out/$3"
}

for locale in en_US:44 de_DE:59 fr_FR:59; do
  name=${locale%:*} delimiter=${locale#*:}
  language=${name%_*} country=${name#*_}
  profile "$language" "$country"
  document "$language" "$country" no >"$work/parts.fods"
  document "$language" "$country" yes >"$work/divided.fods"
  document "$language" "$country" value >"$work/value.fods"
  convert "$language" "$work/parts.fods" "$name.csv" "$delimiter" 76
  convert "$language" "$work/parts.fods" "${name}_utf16.txt" 9 65535
  convert "$language" "$work/parts.fods" "${name}_1252.csv" "$delimiter" 1
  convert "$language" "$work/divided.fods" "${name}_divided.csv" "$delimiter" 76
  convert "$language" "$work/value.fods" "${name}_value.csv" "$delimiter" 76
done
