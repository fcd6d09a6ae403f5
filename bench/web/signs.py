"""The words of the signs of safety: for who cannot see them, and for a phone that draws them."""

from bench.web.words import _

SIGN_WORDS = {
    "GHS01": _("GHS: explosive"),
    "GHS02": _("GHS: flammable"),
    "GHS03": _("GHS: feeds a fire"),
    "GHS04": _("GHS: gas under pressure"),
    "GHS05": _("GHS: corrodes"),
    "GHS06": _("GHS: poisonous"),
    "GHS07": _("GHS: harmful"),
    "GHS08": _("GHS: harms health for long"),
    "GHS09": _("GHS: harms water life"),
    "w-hot": _("Hot surface"),
    "w-general": _("Caution"),
    "w-toxic": _("Poison"),
    "w-fire": _("Fire"),
    "w-gas": _("Gas under pressure"),
    "m-mask": _("Wear a mask"),
    "m-gloves": _("Wear gloves"),
    "m-eyes": _("Wear eye protection"),
    "m-face": _("Wear a face shield"),
    "m-wet": _("Wipe wet"),
    "m-read": _("Read the sheet"),
    "p-no": _("Do not"),
    "s-out": _("Way out"),
}
