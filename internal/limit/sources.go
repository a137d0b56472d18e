package limit

import (
	"fmt"
	"strings"
)

// Source is a publication.
type Source struct {
	Authors string // family names
	Year    int
	Circa   bool   // the year is not certain
	Where   string // journal, volume, pages, doi as far as known
	Note    string // what of this entry rests on memory, or was not seen
}

// Cite returns the source as a text names it: "Kuhn and Legerlotz 2022",
// "Alves et al. 2006".
func (s Source) Cite() string {
	who := s.Authors
	if first, _, many := strings.Cut(who, ","); many {
		who = first + " et al."
	} else if first, ok := strings.CutSuffix(who, " and others"); ok {
		who = first + " et al."
	}
	if s.Circa {
		return fmt.Sprintf("%s about %d", who, s.Year)
	}
	return fmt.Sprintf("%s %d", who, s.Year)
}

// The sources of the rows. Where a title's details rest on memory, Note says so.
var (
	wadrzyk2017 = Source{
		Authors: "Wądrzyk, Nosiadek and Staszkiewicz", Year: 2017,
		Where: "Underwater dolphin kicks of young swimmers. Human Movement 18(4):23-29, doi 10.1515/humo-2017-0030",
	}
	wadrzyk2019 = Source{
		Authors: "Wądrzyk, Staszkiewicz, Zegleń and Kryst", Year: 2019, Circa: true,
		Where: "Gender-related differences in underwater undulatory swimming kinematics. Acta of Bioengineering and Biomechanics",
		Note:  "authors and journal from memory; the abstract was read in an index",
	}
	kuhn2022 = Source{
		Authors: "Kuhn and Legerlotz", Year: 2022,
		Where: "Ankle joint flexibility affects undulatory underwater swimming speed. Frontiers in Sports and Active Living 4:948034, doi 10.3389/fspor.2022.948034",
	}
	pressure2024 = Source{
		Authors: "University flume study (authors not seen)", Year: 2024, Circa: true,
		Where: "Comparison of foot pressure distribution and foot kinematics in underwater undulatory swimming between performance levels",
		Note:  "authors and journal were not shown in the excerpt read",
	}
	loebbecke2009 = Source{
		Authors: "von Loebbecke, Mittal, Fish and Mark", Year: 2009,
		Where: "A comparison of the kinematics of the dolphin kick in humans and cetaceans. Human Movement Science 28:99-112",
	}
	matsuura2020 = Source{
		Authors: "Matsuura, Matsunaga, Iizuka, Akuzawa and Kaneoka", Year: 2020,
		Where: "Muscle synergy of underwater undulatory swimming in elite male swimmers. Frontiers in Sports and Active Living 2:62, doi 10.3389/fspor.2020.00062",
	}
	connaboy2016 = Source{
		Authors: "Connaboy and others", Year: 2016,
		Where: "The key kinematic determinants of underwater undulatory swimming at maximal velocity. Journal of Sports Sciences 34(11):1036-1043, doi 10.1080/02640414.2015.1088162",
	}
	connaboy2009 = Source{
		Authors: "Connaboy, Coleman and Sanders", Year: 2009,
		Where: "Hydrodynamics of undulatory underwater swimming: a review. Sports Biomechanics 8(4):360-380, doi 10.1080/14763140903464321",
	}
	connaboy2010 = Source{
		Authors: "Connaboy, Coleman, Moir and Sanders", Year: 2010,
		Where: "Measures of reliability in the kinematics of maximal undulatory underwater swimming. Medicine and Science in Sports and Exercise 42(4):762-770, doi 10.1249/MSS.0b013e3181badc68",
	}
	shimojo2014 = Source{
		Authors: "Shimojo, Sengoku, Miyoshi, Tsubakimoto and Takagi", Year: 2014,
		Where: "Effect of imposing changes in kick frequency on kinematics during underwater undulatory swimming at maximal effort in male swimmers. Human Movement Science 38:94-105",
		Note:  "citation from memory",
	}
	shimojo2019 = Source{
		Authors: "Shimojo and others", Year: 2019,
		Where: "Does ankle joint flexibility affect underwater kicking efficiency and three-dimensional kinematics? Journal of Sports Sciences, doi 10.1080/02640414.2019.1633157",
		Note:  "author list from memory",
	}
	yamakawa2017 = Source{
		Authors: "Yamakawa, Shimojo, Takagi, Tsubakimoto and Sengoku", Year: 2017,
		Where: "Effect of increased kick frequency on propelling efficiency and muscular co-activation during underwater dolphin kick. Human Movement Science 54:276-286",
		Note:  "citation and sample size from memory",
	}
	yamakawa2022 = Source{
		Authors: "Yamakawa, Shimojo, Takagi and Sengoku", Year: 2022,
		Where: "Changes in kinematics and muscle activity with increasing velocity during underwater undulatory swimming. Frontiers in Sports and Active Living 4:829618, doi 10.3389/fspor.2022.829618",
		Note:  "authors from memory",
	}
	ikeda2021 = Source{
		Authors: "Ikeda, Ichikawa, Shimojo, Nara, Baba and Shimoyama", Year: 2021,
		Where: "Relationship between dolphin kick movement in humans and velocity during undulatory underwater swimming. Journal of Sports Sciences 39(13):1497-1503",
		Note:  "citation and sample size from memory",
	}
	hochstein2011 = Source{
		Authors: "Hochstein and Blickhan", Year: 2011,
		Where: "Vortex re-capturing and kinematics in human underwater undulatory swimming. Human Movement Science 30(5):998-1007, doi 10.1016/j.humov.2010.07.002",
	}
	alves2006 = Source{
		Authors: "Alves, Lopes, Veloso and Martins-Silva", Year: 2006,
		Where: "Influence of body position on dolphin kick kinematics. Portuguese Journal of Sport Sciences 6(Suppl 2):12-14",
	}
	arellano2002 = Source{
		Authors: "Arellano, Pardillo and Gavilán", Year: 2002,
		Where: "Underwater undulatory swimming: kinematic characteristics, vortex generation and application during the start, turn and swimming strokes. Proceedings of the XX ISBS, Cáceres, 286-289",
	}
	veiga2022 = Source{
		Authors: "Veiga and others", Year: 2022,
		Where: "Kinematic analysis of the underwater undulatory swimming cycle: a systematic and synthetic review. International Journal of Environmental Research and Public Health 19(19):12196, doi 10.3390/ijerph191912196",
	}
)

// BorrowedError is the typical error, as a share of the value, that stands in
// for a squad's own as long as the squad has fewer than ten degrees of freedom:
// the upper end of 0.86-8.92 % over kinematic variables of maximal kicking,
// 15 skilled men, six cycles (Connaboy, Coleman, Moir and Sanders 2010, abstract).
const BorrowedError = 0.0892

// BorrowedSource is where BorrowedError comes from.
var BorrowedSource = connaboy2010
