import type { CautionWords } from "./caution-words.ts";

/** Cautions in German. */
export const germanCautions: CautionWords = {
  each: {
    "solvent-oxidiser": {
      words:
        "Isopropylalkohol, und Lappen mit ihm, von Calciumhypochlorit und jedem anderen " +
        "Oxidationsmittel des Bades fernhalten: zusammen können sie in Brand geraten. Nie zusammen " +
        "tragen oder lagern.",
      brief: "Alkohol fern von Oxidationsmitteln und Flammen",
    },
    "solvent-flammable": {
      words:
        "Isopropylalkohol ist brennbar: sein Flammpunkt, etwa 12 °C (53 °F), liegt weit unter " +
        "Raumtemperatur. Lüften, wenig nehmen, Flammen, Funken und heißes Werkzeug fernhalten, " +
        "Handschuhe und Schutzbrille tragen.",
      brief: "Lüftung, Handschuhe und Schutzbrille",
    },
    "solvent-dry": {
      words:
        "Vor dem Reinigen die Versorgung des Zeitmessgeräts trennen, und den Alkohol ganz verdunsten " +
        "lassen, bevor wieder Spannung anliegt.",
      brief: "Versorgung aus, und trocken, bevor sie wieder anliegt",
    },
    "supply-off": {
      words:
        "Die Versorgung des Zeitmessgeräts trennen, bevor ein Teil geschnitten, abisoliert oder " +
        "ersetzt wird. Dichtmittel nach seinem Datenblatt verwenden und aushärten lassen, bevor das " +
        "Teil nass wird.",
      brief: "Versorgung aus; Dichtmittel nach seinem Datenblatt",
    },
    "over-water": {
      words:
        "Der Boden ist nass, und Kabel liegen herum: niemand arbeitet allein über Wasser oder mit " +
        "Schwimmern in der Bahn, und im Freien niemand bei Gewitter.",
      brief: "niemand allein über Wasser, keine Schwimmer in der Bahn, kein Gewitter",
    },
    "not-in-a-session": {
      words:
        "Während eines Abschnitts nichts öffnen, ohne dass Schiedsrichter oder Veranstaltungsleitung " +
        "zugestimmt haben.",
      brief: "im Abschnitt nichts ohne Zustimmung öffnen",
    },
    "low-voltage-only": {
      words:
        "Nur auf der Kleinspannungsseite arbeiten. Netz und feste Installation gehören der " +
        "Elektrofachkraft, nach den örtlichen Vorschriften für Nassbereiche.",
      brief: "Netz und feste Installation nur durch die Elektrofachkraft",
    },
    "two-people": {
      words: "Eine Anschlagmatte heben zwei: sie ist lang, nass und schwerer, als sie aussieht.",
      brief: "zu zweit an einer Matte",
    },
    "solvent-skin": {
      words:
        "Bei Lösungsmitteln und Dichtmitteln Handschuhe und Schutzbrille tragen und den Raum lüften.",
      brief: "Handschuhe, Schutzbrille und Lüftung",
    },
    sealant: {
      words:
        "Das Dichtmittel nach seinem Sicherheitsdatenblatt verwenden und aushärten lassen, bevor es " +
        "nass wird.",
      brief: "Dichtmittel nach seinem Datenblatt",
    },
    "wet-deck": {
      words:
        "Der Beckenrand ist nass: kein Kabel liegt, wo Leute gehen. Im Freien bei Blitzen das Wasser " +
        "verlassen.",
      brief: "kein Kabel, wo Leute gehen",
    },
    "no-certificate": {
      words:
        "Dies ist ein Rat zur Wartung. Er bescheinigt nichts: ob eine Zeitmessanlage den Regeln eines " +
        "Wettkampfs genügt, sagt dessen Kampfgericht.",
      brief: "was für einen Wettkampf gilt, sagt sein Kampfgericht",
    },
  },
  moments: {
    opening: "Bevor etwas geöffnet wird",
    cleaning: "Vor dem Reinigen",
    any: "Vorsicht",
  },
  caution: "Vorsicht",
  hereToo: "Die Hinweise oben gelten auch hier.",
};
