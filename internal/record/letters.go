package record

import (
	"strings"
	"unicode"
)

// plainText is text in small plain letters and digits, one space between words.
func plainText(text string) string { return strings.Join(plainWords(text, ""), " ") }

// plainWords are the words of a text in small plain letters and digits: without accents
// and invisible signs, letters of other scripts that look like Latin ones made Latin.
// What stands in dropped is taken out of its word; any other sign ends one.
func plainWords(text, dropped string) []string {
	var b []byte
	for _, r := range text {
		if r >= 0xFF01 && r <= 0xFF5E { // full-width forms
			r -= 0xFEE0
		}
		switch {
		case unicode.IsMark(r) || unicode.Is(unicode.Cf, r) || strings.ContainsRune(dropped, r):
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b = AppendFold(b, r)
		default:
			b = append(b, ' ')
		}
	}
	return strings.Fields(string(b))
}

// accentPairs are the accented Latin letters of European languages, and Cyrillic and
// Greek letters that look like Latin ones, each before its plain letters.
var accentPairs = []string{
	"à", "a", "á", "a", "â", "a", "ã", "a", "ä", "a", "å", "a", "ā", "a", "ă", "a", "ą", "a", "æ", "ae",
	"ç", "c", "ć", "c", "č", "c", "ď", "d", "đ", "d", "ð", "d",
	"è", "e", "é", "e", "ê", "e", "ë", "e", "ē", "e", "ė", "e", "ę", "e", "ě", "e",
	"ğ", "g", "ģ", "g", "ì", "i", "í", "i", "î", "i", "ï", "i", "ī", "i", "į", "i", "ı", "i",
	"ķ", "k", "ļ", "l", "ľ", "l", "ł", "l", "ñ", "n", "ń", "n", "ņ", "n", "ň", "n",
	"ò", "o", "ó", "o", "ô", "o", "õ", "o", "ö", "o", "ø", "o", "ő", "o", "œ", "oe",
	"ř", "r", "ś", "s", "ş", "s", "š", "s", "ș", "s", "ß", "ss", "ţ", "t", "ť", "t", "ț", "t", "þ", "th",
	"ù", "u", "ú", "u", "û", "u", "ü", "u", "ū", "u", "ů", "u", "ű", "u", "ų", "u",
	"ý", "y", "ÿ", "y", "ź", "z", "ż", "z", "ž", "z",
	"а", "a", "е", "e", "о", "o", "р", "p", "с", "c", "х", "x", "у", "y", "і", "i", "ѕ", "s",
	"ο", "o", "α", "a", "ι", "i", "ν", "v",
}
