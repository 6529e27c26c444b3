"""The bibliography: every source that code, tests or lessons name, spelt out once."""

from suspedu.units import InputError, nearest

SOURCES = {
    "anderson-bjorck-1973": "Anderson, N.; Bjoerck, A.: A new high order method of regula falsi type for computing a "
    "root of an equation. BIT 13 (1973) 253-264.",
    "astm-d2270": "ASTM D2270: Standard Practice for Calculating Viscosity Index from Kinematic Viscosity at 40 and "
    "100 °C.",
    "astm-d341": "ASTM D341: Standard Practice for Viscosity-Temperature Equations and Charts for Liquid Petroleum "
    "or Hydrocarbon Products.",
    "attribute-plans": "Help page of a general statistics package: user-defined sampling plans by attributes, AOQ and "
    "ATI compared. pinzhi.org, aasco_090_ati_sw.htm.",
    "barlow-reliability": "Barlow, R. E.: Engineering Reliability. SIAM, 1998.",
    "bhandari": "Bhandari, V. B.: Design of Machine Elements, 3rd ed. Tata McGraw-Hill, 2010.",
    "borda-1766": "Borda, J.-C. de: Memoire sur l'ecoulement des fluides par les orifices des vases. Memoires de "
    "l'Academie Royale des Sciences, Paris (1766) 579-607.",
    "borutzky-2002": "Borutzky, W.; Barnard, B.; Thoma, J.: An orifice flow model for laminar and turbulent "
    "conditions. Simulation Modelling Practice and Theory 10 (2002) 141-152.",
    "bs-6143-2": "BS 6143-2:1990, Guide to the economics of quality - Part 2: Prevention, appraisal and failure model.",
    "burnham-anderson": "Burnham, K. P.; Anderson, D. R.: Model Selection and Multimodel Inference: A Practical "
    "Information-Theoretic Approach, 2nd ed. Springer, 2002.",
    "carvill": "Carvill, J.: Mechanical Engineer's Data Handbook. Butterworth-Heinemann, 1993.",
    "chase-greenwood-1988": "Chase, K. W.; Greenwood, W. H.: Design issues in mechanical tolerance analysis. "
    "Manufacturing Review 1 (1988) 50-59.",
    "chemicals": "Bell, C. and contributors: chemicals: Chemical properties component of Chemical Engineering Design "
    "Library (ChEDL). Open-source library, from 2016. github.com/CalebBell/chemicals.",
    "cie-lab": "ISO/CIE 11664-4:2019, Colorimetry - Part 4: CIE 1976 L*a*b* colour space.",
    "coolprop": "Bell, I. H.; Wronski, J.; Quoilin, S.; Lemort, V.: Pure and Pseudo-pure Fluid Thermophysical "
    "Property Evaluation and the Open-Source Thermophysical Property Library CoolProp. Ind. Eng. Chem. Res. 53 "
    "(2014) 2498-2508.",
    "cottle": "Cottle, R. W.; Pang, J.-S.; Stone, R. E.: The Linear Complementarity Problem. Academic Press, 1992.",
    "crane-410": "Crane Co.: Flow of Fluids Through Valves, Fittings, and Pipe. Technical Paper 410, 2009.",
    "crocker-algina": "Crocker, L.; Algina, J.: Introduction to Classical and Modern Test Theory. Holt, Rinehart and "
    "Winston, 1986.",
    "dagan-1982": "Dagan, Z.; Weinbaum, S.; Pfeffer, R.: An infinite-series solution for the creeping motion through "
    "an orifice of finite length. J. Fluid Mechanics 115 (1982) 505-523.",
    "dodge-romig": "Dodge, H. F.; Romig, H. G.: Sampling Inspection Tables: Single and Double Sampling, 2nd ed. Wiley, "
    "1959.",
    "dunn-1961": "Dunn, O. J.: Multiple comparisons among means. J. American Statistical Association 56 (1961) 52-64.",
    "en-10270-1": "EN 10270-1: Steel wire for mechanical springs, Part 1: Patented cold drawn unalloyed spring steel "
    "wire. CEN, 2011.",
    "en-13906-1": "EN 13906-1: Cylindrical helical springs made from round wire and bar, Calculation and design, "
    "Part 1: Compression springs. CEN, 2013.",
    "en-13906-2": "EN 13906-2: Cylindrical helical springs made from round wire and bar, Calculation and design, "
    "Part 2: Extension springs. CEN, 2013.",
    "fips-198-1": "FIPS 198-1: The Keyed-Hash Message Authentication Code (HMAC). National Institute of Standards and "
    "Technology, 2008.",
    "fluids": "Bell, C. and contributors: fluids: Fluid dynamics component of Chemical Engineering Design Library "
    "(ChEDL). Open-source library, from 2016. github.com/CalebBell/fluids.",
    "fossee-scilab": "FOSSEE, Indian Institute of Technology Bombay: Scilab Textbook Companions. Public code that "
    "works textbooks' examples. github.com/FOSSEE/Scilab-TBC-Uploads.",
    "fox-mcdonald": "Fox, R. W.; McDonald, A. T.: Introduction to Fluid Mechanics. Wiley.",
    "gobbi-mastinu-2001": "Gobbi, M.; Mastinu, G.: Analytical description and optimization of the dynamic behaviour "
    "of passively suspended road vehicles. J. Sound and Vibration 245 (2001) 457-481.",
    "hairer-norsett-wanner": "Hairer, E.; Norsett, S. P.; Wanner, G.: Solving Ordinary Differential Equations I: "
    "Nonstiff Problems, 2nd ed. Springer, 1993.",
    "happel-brenner": "Happel, J.; Brenner, H.: Low Reynolds Number Hydrodynamics. Prentice-Hall, 1965.",
    "harris-1928": "Harris, C. W.: The Influence of Pipe Thickness on Re-Entrant Intake Losses. University of "
    "Washington, vol. 48, 1928.",
    "harris-1930": "Harris, C. W.: Elimination of Hydraulic Eddy Current Loss at Intake, Agreement of Theory and "
    "Experiment. University of Washington, 1930.",
    "hedrick-butsuen-1990": "Hedrick, J. K.; Butsuen, T.: Invariant properties of automotive suspensions. Proc. "
    "Inst. Mech. Eng. D 204 (1990) 21-27.",
    "hypergeometric-lots": "Acceptance Sampling: An Application of the Hypergeometric Distribution. Handout of a "
    "course. studylib.net/doc/6591195.",
    "idelchik": "Idel'chik, I. E.: Handbook of Hydraulic Resistance: Coefficients of Local Resistance and of "
    "Friction. National Technical Information Service, 1966.",
    "iec-61966-2-1": "IEC 61966-2-1:1999, Multimedia systems and equipment - Colour measurement and management - "
    "Part 2-1: Default RGB colour space - sRGB.",
    "iso-2631-1": "ISO 2631-1:1997, Mechanical vibration and shock - Evaluation of human exposure to whole-body "
    "vibration - Part 1: General requirements.",
    "iso-3448": "ISO 3448:1992, Industrial liquid lubricants - ISO viscosity classification.",
    "iso-5167-2": "ISO 5167-2:2003, Measurement of fluid flow by means of pressure differential devices - Part 2: "
    "Orifice plates.",
    "iso-8041-1": "ISO 8041-1:2017, Human response to vibration - Measuring instrumentation.",
    "iso-8608": "ISO 8608:2016, Mechanical vibration - Road surface profiles - Reporting of measured data.",
    "jcgm-100": "JCGM 100:2008, Evaluation of measurement data - Guide to the expression of uncertainty in "
    "measurement (GUM).",
    "jcgm-101": "JCGM 101:2008, Evaluation of measurement data - Supplement 1 to the Guide to the expression of "
    "uncertainty in measurement - Propagation of distributions using a Monte Carlo method.",
    "juran": "Juran, J. M.; Godfrey, A. B. (eds.): Juran's Quality Handbook, 5th ed. McGraw-Hill, 1999.",
    "kelley-1939": "Kelley, T. L.: The selection of upper and lower groups for the validation of test items. Journal "
    "of Educational Psychology 30 (1939) 17-24.",
    "kennedy-ohagan-2001": "Kennedy, M. C.; O'Hagan, A.: Bayesian calibration of computer models. J. Royal Statistical "
    "Society B 63 (2001) 425-464.",
    "krajewski-om": "Krajewski, L. J.; Ritzman, L. P.; Malhotra, M. K.: Operations Management: Processes and Supply "
    "Chains, supplement on acceptance sampling plans. Pearson.",
    "littlechild-owen-1973": "Littlechild, S. C.; Owen, G.: A simple expression for the Shapley value in a special "
    "case. Management Science 20 (1973) 370-372.",
    "machado-2009": "Machado, G. M.; Oliveira, M. M.; Fernandes, L. A. F.: A physiologically-based model for "
    "simulation of color vision deficiency. IEEE Trans. Visualization and Computer Graphics 15 (2009) 1291-1298.",
    "manring": "Manring, N. D.: Hydraulic Control Systems. Wiley, 2005.",
    "mansfield-griffin-2000": "Mansfield, N. J.; Griffin, M. J.: Difference thresholds for automobile seat vibration. "
    "Applied Ergonomics 31 (2000) 255-261.",
    "matsumoto-griffin-1998": "Matsumoto, Y.; Griffin, M. J.: Dynamic response of the standing human body exposed to "
    "vertical vibration: influence of posture and vibration magnitude. J. Sound Vib. 212 (1998) 85-107.",
    "merritt": "Merritt, H. E.: Hydraulic Control Systems. Wiley, 1967.",
    "miller": "Miller, D. S.: Internal Flow Systems: Design and Performance Prediction. Gulf Publishing, 1990.",
    "montgomery-sqc": "Montgomery, D. C.: Introduction to Statistical Quality Control. Wiley.",
    "moran-shapiro": "Moran, M. J.; Shapiro, H. N.; Boettner, D. D.; Bailey, M. B.: Fundamentals of Engineering "
    "Thermodynamics, 7th ed. Wiley, 2011.",
    "morioka-griffin-2000": "Morioka, M.; Griffin, M. J.: Difference thresholds for intensity perception of whole-body "
    "vertical vibration: effect of frequency and magnitude. J. Acoust. Soc. Am. 107 (2000) 620-624.",
    "nist-strd": "National Institute of Standards and Technology: Statistical Reference Datasets, Nonlinear "
    "Regression. itl.nist.gov/div898/strd, from 1998.",
    "oc-exercise": "Exercise with a printed table: operating characteristic and average outgoing quality of the plan n "
    "= 50, c = 1. homeworkclinic.com, topic 810160.",
    "perry": "Green, D. W.; Perry, R. H.: Perry's Chemical Engineers' Handbook, 8th ed. McGraw-Hill, 2007.",
    "piercy-1933": "Piercy, N. A. V.; Hooper, M. S.; Winny, H. F.: Viscous flow through pipes with cores. "
    "Philosophical Magazine 15 (1933) 647-676.",
    "poling": "Poling, B. E.; Prausnitz, J. M.; O'Connell, J. P.: The Properties of Gases and Liquids, 5th ed. "
    "McGraw-Hill, 2001.",
    "pyzdek": "Pyzdek, T.; Keller, P. A.: The Handbook for Quality Management, 2nd ed. McGraw-Hill, 2013.",
    "rennels": "Rennels, D. C.; Hudson, H. M.: Pipe Flow: A Practical and Comprehensive Guide. Wiley, 2012.",
    "rfc-4180": "Shafranovich, Y.: Common Format and MIME Type for Comma-Separated Values (CSV) Files. IETF RFC 4180, "
    "2005.",
    "rfc-4231": "Nystrom, M.: Identifiers and Test Vectors for HMAC-SHA-224, HMAC-SHA-256, HMAC-SHA-384, and "
    "HMAC-SHA-512. IETF RFC 4231, 2005.",
    "rfc-8018": "Moriarty, K.; Kaliski, B.; Rusch, A.: PKCS #5: Password-Based Cryptography Specification Version 2.1. "
    "IETF RFC 8018, 2017.",
    "roark": "Young, W. C.; Budynas, R. G.: Roark's Formulas for Stress and Strain, 7th ed. McGraw-Hill, 2002.",
    "savitzky-golay-1964": "Savitzky, A.; Golay, M. J. E.: Smoothing and differentiation of data by simplified least "
    "squares procedures. Analytical Chemistry 36 (1964) 1627-1639.",
    "scheibe-smith-2009": "Scheibe, F.; Smith, M. C.: Analytical solutions for optimal ride comfort and tyre grip "
    "for passive vehicle suspensions. Vehicle System Dynamics 47 (2009) 1229-1252.",
    "schwarz-1978": "Schwarz, G.: Estimating the dimension of a model. Annals of Statistics 6 (1978) 461-464.",
    "scikit-fem": "Gustafsson, T.; McBain, G. D.: scikit-fem: A Python package for finite element assembly. J. Open "
    "Source Software 5 (2020) 2369.",
    "scipy": "Virtanen, P. et al.: SciPy 1.0: fundamental algorithms for scientific computing in Python. Nature "
    "Methods 17 (2020) 261-272.",
    "seber-wild": "Seber, G. A. F.; Wild, C. J.: Nonlinear Regression. Wiley, 1989.",
    "shapley-1953": "Shapley, L. S.: A value for n-person games. In: Kuhn, H. W.; Tucker, A. W. (eds.): Contributions "
    "to the Theory of Games II. Annals of Mathematics Studies 28. Princeton University Press (1953) 307-317.",
    "shigley": "Budynas, R. G.; Nisbett, J. K.: Shigley's Mechanical Engineering Design, 10th ed. McGraw-Hill, 2015.",
    "storn-price": "Storn, R.; Price, K.: Differential evolution - a simple and efficient heuristic for global "
    "optimization over continuous spaces. J. Global Optimization 11 (1997) 341-359.",
    "strang-fix": "Strang, G.; Fix, G. J.: An Analysis of the Finite Element Method. Prentice-Hall, 1973.",
    "student-1908": "Student: The probable error of a mean. Biometrika 6 (1908) 1-25.",
    "sympy": "Meurer, A. et al.: SymPy: symbolic computing in Python. PeerJ Computer Science 3 (2017) e103.",
    "thermodynamics-1": "Thermodynamics 1 (course DJJ20063). Electronic textbook, polytechnic colleges of Malaysia. "
    "pkb.mypolycc.edu.my/ebook/TERMO.",
    "timoshenko-plates": "Timoshenko, S. P.; Woinowsky-Krieger, S.: Theory of Plates and Shells, 2nd ed. "
    "McGraw-Hill, 1959.",
    "wahl": "Wahl, A. M.: Mechanical Springs, 2nd ed. McGraw-Hill, 1963.",
    "wcag": "W3C: Web Content Accessibility Guidelines (WCAG) 2.2. W3C Recommendation, 2023.",
    "welch-1967": "Welch, P. D.: The use of fast Fourier transform for the estimation of power spectra: a method "
    "based on time averaging over short, modified periodograms. IEEE Trans. Audio and Electroacoustics 15 (1967) "
    "70-73.",
    "white-viscous": "White, F. M.: Viscous Fluid Flow, 3rd ed. McGraw-Hill, 2006.",
}


def cite(key: str) -> str:
    """Full reference of a source.

    Parameters: key, as in `SOURCES`.
    Returns: the reference as text.
    Raises: InputError for a key that is not in the bibliography.

    >>> cite("merritt")
    'Merritt, H. E.: Hydraulic Control Systems. Wiley, 1967.'
    """
    if key not in SOURCES:
        raise InputError(f"source '{key}' is not in the bibliography{nearest(key, SOURCES)}")
    return SOURCES[key]
