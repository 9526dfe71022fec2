"""The published documents that rules come from. Only facts were taken from them, never sentences."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from kitdocs.handbook.rules.rule import Source

#: Short name and full title. Titles stay in the language of the document.
DOCUMENTS: Mapping[str, str] = MappingProxyType(
    {
        "CDC 2003": "Centers for Disease Control and Prevention (CDC), Guidelines for Infection Control in Dental "
        "Health-Care Settings 2003, MMWR 52(RR-17)",
        "CDC 2008": "Rutala, Weber and HICPAC, Guideline for Disinfection and Sterilization in Healthcare Facilities, "
        "2008 (updated 2019)",
        "CDC packaging": "CDC, Packaging and Storage, questions and answers for dental settings (2016)",
        "CDC sterilization": "CDC, Best Practices for Sterilization in Dental Settings",
        "CDC monitoring": "CDC, Best Practices for Sterilization Monitoring in Dental Settings",
        "29 CFR 1910.1030": "United States, Occupational Safety and Health Administration, Bloodborne pathogens",
        "29 CFR 1910.1200": "United States, Occupational Safety and Health Administration, Hazard communication",
        "DIN 58953-7": "DIN 58953-7, Sterilization, Sterile supply, use of sterilization paper, nonwoven and pouches",
        "EN 868-5": "EN 868-5:2009, Packaging for terminally sterilized medical devices, sealable pouches and reels",
        "MIL-STD-889B": "United States, MIL-STD-889B, Dissimilar metals",
    }
)


def read(document: str, passage: str) -> Source:
    """Cite a passage that we saw, in the document or quoted by others."""
    return Source(document=document, passage=passage, was_read=True)


def recalled(document: str, passage: str) -> Source:
    """Cite a passage from memory."""
    return Source(document=document, passage=passage, was_read=False)
